/** Keeps the newest rulebook on the phone. It holds no personal data, so it is readable while locked. */
import type { Credentials, Http } from "../wire/http";
import type { RulebookBody } from "../wire/types";
import { putMeta, writeStrictly } from "./db";
import type { Phone } from "./phone";

/** Null where the one on the phone is the newest. */
export async function fetchRulebook(
  phone: Phone,
  http: Http,
  as: Credentials,
): Promise<RulebookBody | null> {
  const held = phone.rulebookVersion();
  const book = await http.rulebook(as, held === "" ? null : held);
  if (book === null || book.version === held) return null;
  await writeStrictly(phone.db, ["meta"], (tx) => putMeta(tx, "rulebook", book));
  return book;
}

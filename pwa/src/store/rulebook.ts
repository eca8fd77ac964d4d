/** The newest rulebook on the phone. It holds no personal data, so it is readable while locked. */
import { type Readable, writable } from "svelte/store";

import type { Credentials, Http } from "../wire/http";
import type { RulebookBody } from "../wire/types";
import { type Database, putMeta, readMeta, writeStrictly } from "./db";
import type { Phone } from "./phone";

export class Rulebook {
  readonly #book = writable<RulebookBody | null>(null);
  readonly book: Readable<RulebookBody | null> = { subscribe: this.#book.subscribe };
  /** Empty before the first one is here. */
  version = "";

  async read(db: Database): Promise<void> {
    const book = await readMeta(db, "rulebook");
    if (book !== undefined) this.become(book);
  }

  become(book: RulebookBody): void {
    this.version = book.version;
    this.#book.set(book);
  }
}

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

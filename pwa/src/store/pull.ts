/** Fetches what has changed. A page is on disk together with its cursor, or not at all. */
import type { Credentials, Http } from "../wire/http";
import type { PullReply } from "../wire/types";
import { putBack } from "./commands";
import { moveProgress, queue, readMeta, type Tx, writeStrictly } from "./db";
import { Fault } from "./fault";
import type { Phone } from "./phone";
import { sealRow } from "./records";

/** Pulls until the server has no more. Returns whether the server wants commands again. */
export async function pull(
  phone: Phone,
  http: Http,
  as: Credentials,
  applied: (page: PullReply) => void,
): Promise<{ resend: boolean }> {
  let resend = false;
  for (;;) {
    const progress = await readMeta(phone.db, "progress");
    if (progress === undefined) throw new Fault("not_signed_in");
    const page = await http.pull(as, progress.cursor);
    resend = (await applyPage(phone, page)) || resend;
    applied(page);
    if (!page.more) return { resend };
  }
}

export async function applyPage(phone: Phone, page: PullReply): Promise<boolean> {
  const key = phone.lock.key();
  const sealed = await Promise.all(
    page.rows.filter((feed) => feed.row !== null).map((feed) => sealRow(key, feed)),
  );
  const removed = page.rows.filter((feed) => feed.row === null);
  const last_ok_at = phone.now().toISOString();
  return writeStrictly(phone.db, ["rows", "outbox", "settled", "meta"], async (tx) => {
    const rows = tx.objectStore("rows");
    if (page.reset) await rows.clear();
    for (const scope of page.forget) await dropScope(tx, scope);
    for (const { kind, id } of removed) queue(rows.delete([kind, id]));
    for (const row of sealed) queue(rows.put(row));
    const { cursor, epoch } = page;
    const before = await moveProgress(tx, () => ({ cursor, epoch, last_ok_at }));
    const restored = before.epoch !== null && before.epoch !== epoch;
    return restored ? putBack(tx, page.next_seq) : (await cover(tx, page), false);
  });
}

async function dropScope(tx: Tx, scope: string): Promise<void> {
  const keys = await tx.objectStore("rows").index("scope").getAllKeys(scope);
  for (const key of keys) queue(tx.objectStore("rows").delete(key));
}

/** A full pull holds the effects of every command below its next number: no more replay of those. */
async function cover(tx: Tx, page: PullReply): Promise<void> {
  if (page.more) return;
  const settled = tx.objectStore("settled");
  for (const command of await settled.index("status").getAll("applied")) {
    if (command.seq < page.next_seq) await settled.put({ ...command, status: "covered" });
  }
}

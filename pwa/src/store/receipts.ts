/** What became of commands that were sent: their receipts, until nobody can need them any more. */
import type { CommandResult, Id, Instant, PushReply, Refusal } from "../wire/types";
import { type HeldCommand, type NumberedCommand, sealAnswer } from "./commands";
import {
  type Progress,
  putMeta,
  queue,
  readProgress,
  type SettledCommand,
  type Tx,
  writeStrictly,
} from "./db";
import type { Phone } from "./phone";
import { dropPicture, PICTURE_STORES } from "./pictures";
import { isOfUse } from "./set_aside";

/** Receipts are kept for a server that is restored from a backup and must be told again. */
const KEPT_DAYS = 90;

interface Receipt {
  refusal: Refusal | null;
  stored: Pick<SettledCommand, "status" | "answer">;
}

/**
 * Moves every command that has its receipt out of the outbox, box and all, and notes what would prove those
 * receipts. Returns the commands, with what was said.
 */
export async function settle(
  phone: Phone,
  pushed: readonly NumberedCommand[],
  { results, now, heard }: PushReply,
): Promise<HeldCommand[]> {
  const settled_at = Date.parse(now);
  const receipts = await sealReceipts(phone.lock.key(), pushed, results);
  const range = IDBKeyRange.bound(pushed[0]?.number ?? 0, pushed.at(-1)?.number ?? 0);
  const moved = await writeStrictly(phone.db, ["outbox", "settled", "meta"], async (tx) => {
    const [outbox, settled] = [tx.objectStore("outbox"), tx.objectStore("settled")];
    const stored = await outbox.getAll(range);
    const answered = stored.filter(({ id }) => receipts.has(id));
    for (const command of answered) {
      queue(
        settled.put({
          ...command,
          ...receipts.get(command.id)?.stored,
          settled_at,
        } as SettledCommand),
      );
    }
    // One request for all of them, where none in between stays.
    if (answered.length === stored.length) queue(outbox.delete(range));
    else for (const { number } of answered) queue(outbox.delete(number));
    if (answered.length > 0) queue(putMeta(tx, "progress", { ...(await readProgress(tx)), heard }));
    return new Set(answered.map(({ id }) => id));
  });
  return pushed
    .filter(({ id }) => moved.has(id))
    .map((command) => ({ ...command, refusal: receipts.get(command.id)?.refusal ?? null }));
}

async function sealReceipts(
  key: CryptoKey,
  pushed: readonly NumberedCommand[],
  results: readonly CommandResult[],
): Promise<Map<Id, Receipt>> {
  const told = new Map(results.map((result) => [result.id, result]));
  const receipts = new Map<Id, Receipt>();
  for (const { id, seq } of pushed) {
    const result = told.get(id);
    if (result?.seq !== seq || result.status === "held_back") continue;
    const { refusal, incidents } = result;
    const says = refusal !== null || incidents.length > 0;
    const answer = says ? await sealAnswer(key, id, { refusal, incidents }) : null;
    receipts.set(id, {
      refusal,
      stored: { status: refusal === null ? "applied" : "refused", answer },
    });
  }
  return receipts;
}

/** With the record of a photo goes its picture, which nobody takes without it. */
export async function dealWith(phone: Phone, id: Id, photo: Id | null): Promise<void> {
  await writeStrictly(phone.db, ["settled", ...PICTURE_STORES], async (tx) => {
    const command = await tx.objectStore("settled").get(id);
    if (command?.status !== "refused") return;
    if (photo !== null) dropPicture(tx, photo);
    await tx.objectStore("settled").put({ ...command, status: "dealt_with" });
  });
}

/**
 * The effects of every command below this number are in the base rows: no more replay of those, whose ids are
 * returned.
 */
export async function cover(tx: Tx, next_seq: number, progress: Progress): Promise<Id[]> {
  const settled = tx.objectStore("settled");
  const applied = await settled.index("status").getAll("applied");
  const covered = applied.filter(({ number }) => number - progress.numbered_after < next_seq);
  for (const command of covered) queue(settled.put({ ...command, status: "covered" }));
  return covered.map(({ id }) => id);
}

/**
 * Forgets receipts that are older than any backup a server would be restored from. Both times are the
 * server's: a phone's clock that jumps ahead makes nothing old.
 */
export async function dropOldReceipts(phone: Phone, server_now: Instant): Promise<void> {
  const oldest = Date.parse(server_now) - KEPT_DAYS * 86_400_000;
  await writeStrictly(phone.db, ["settled", "set_aside"], async (tx) => {
    await dropOldAsides(tx, oldest);
    let cursor = await tx.objectStore("settled").index("number").openCursor();
    while (cursor !== null && cursor.value.settled_at < oldest) {
      const { status } = cursor.value;
      if (status === "covered" || status === "dealt_with") await cursor.delete();
      cursor = await cursor.continue();
    }
  });
}

/** The same for what lies under an earlier passphrase, and nothing else in it is waiting. */
async function dropOldAsides(tx: Tx, oldest: number): Promise<void> {
  const store = tx.objectStore("set_aside");
  for (const aside of await store.getAll()) {
    const kept = aside.settled?.filter(({ settled_at }) => settled_at >= oldest);
    if (kept?.length === aside.settled?.length) continue;
    const left = { ...aside, settled: kept ?? [] };
    queue(isOfUse(left) ? store.put(left) : store.delete(aside.id));
  }
}

/**
 * What a server that was restored from a backup must be told again: settled commands go back into the
 * outbox, under the ids that they have.
 */
import { renumberOutbox } from "./commands";
import { type Progress, queue, type Tx } from "./db";

/** The server does not know this device's commands from this number on. Returns whether there were any. */
export async function putBack(tx: Tx, next_seq: number, progress: Progress): Promise<boolean> {
  const settled = tx.objectStore("settled");
  const unknown = IDBKeyRange.lowerBound(next_seq + progress.numbered_after);
  // Keys first: nearly always there are none.
  const ids = await settled.index("number").getAllKeys(unknown);
  for (const id of ids) {
    const command = await settled.get(id);
    if (command === undefined) continue;
    const { number, iv, ct } = command;
    queue(tx.objectStore("outbox").put({ number, id, iv, ct }));
    queue(settled.delete(id));
  }
  return ids.length > 0;
}

/**
 * Puts what was settled under earlier device numbers of this phone before everything that waits, which may
 * rest on it. Returns what numbers are counted from then, or null where there was nothing.
 */
export async function putBackEarlier(
  tx: Tx,
  next_seq: number,
  progress: Progress,
): Promise<number | null> {
  const [outbox, settled] = [tx.objectStore("outbox"), tx.objectStore("settled")];
  const before = IDBKeyRange.upperBound(progress.numbered_after);
  // Number 0 is of no device. What a person has dealt with stays so: it may have been made anew since.
  const earlier = (await settled.index("number").getAll(before)).filter(
    ({ number, status }) => number > 0 && status !== "dealt_with",
  );
  if (earlier.length === 0) return null;
  const waiting = await outbox.getAll();
  await outbox.clear();
  for (const { number, id, iv, ct } of [...earlier, ...waiting])
    queue(outbox.put({ number, id, iv, ct }));
  for (const { id } of earlier) queue(settled.delete(id));
  return renumberOutbox(tx, next_seq);
}

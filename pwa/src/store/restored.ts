/**
 * What a server that was restored from a backup must be told again. Receipts of a history that it has lost
 * prove nothing: it may not know the command, or have decided otherwise about it. So all that is kept goes
 * back into the outbox under the ids it has, and under new numbers, as those may have been given to others.
 */
import { renumberOutbox } from "./commands";
import { queue, type SettledCommand, type StoredAside, type StoredCommand, type Tx } from "./db";
import { sendPicturesAgain } from "./pictures";

/**
 * Puts everything that is settled before all that waits, which may rest on it. What a person has dealt with
 * stays: it may have been made anew since. Returns what numbers are counted from then.
 */
export async function sendAgain(tx: Tx, next_seq: number): Promise<number> {
  const settled = tx.objectStore("settled");
  const again = (await settled.index("number").getAll()).filter(
    ({ status }) => status !== "dealt_with",
  );
  for (const { id } of again) queue(settled.delete(id));
  const store = tx.objectStore("set_aside");
  for (const aside of await store.getAll()) {
    // What a file says was refused is shown to its person, who may have made it anew elsewhere.
    if (aside.settled !== undefined) queue(store.put(wanted(aside)));
  }
  await sendPicturesAgain(tx);
  return renumberOutbox(tx, next_seq, again);
}

/** What was set aside, with all that a server has answered of it still to be sent. */
export function wanted(aside: StoredAside): StoredAside {
  const { settled = [], refused, outbox } = aside;
  const answered = [...settled, ...refused].sort((one, other) => one.number - other.number);
  return { ...aside, outbox: [...answered.map(unanswered), ...outbox], refused: [], settled: [] };
}

function unanswered({ number, id, iv, ct }: SettledCommand): StoredCommand {
  return { number, id, iv, ct };
}

/**
 * Puts work that was set aside back where it came from. It is taken off the list only in the transaction
 * that does so, and what this phone has already, waiting or answered, it does not get twice.
 */
import type { Id } from "../wire/types";
import { addToOutbox, reseal } from "./commands";
import {
  type Identity,
  queue,
  type SettledCommand,
  type StoredAside,
  type Tx,
  writeStrictly,
} from "./db";
import { openDraft, resealDrafts } from "./drafts";
import { Fault } from "./fault";
import { IDENTITY_PLACE, type Phone } from "./phone";
import { wanted } from "./restored";
import { open } from "./seal";

export type Work = Pick<StoredAside, "outbox" | "refused" | "drafts">;
type AllWork = Work & Pick<Required<StoredAside>, "settled">;

/** `from` is the key it lies under. Commands keep their ids: what did arrive is known by them. */
export async function putBackAside(
  phone: Phone,
  aside: StoredAside,
  from: CryptoKey,
  staff: Id | undefined,
): Promise<void> {
  const to = phone.lock.key();
  const before = (await open(from, IDENTITY_PLACE, aside.identity)) as Identity;
  if (before.staff.id !== staff) throw new Fault("other_persons_work");
  // Whether this server still has what another phone's file says that it refused, nobody knows.
  const { settled, ...waiting } = aside.settled === undefined ? wanted(aside) : aside;
  const work: AllWork = {
    outbox: await reseal(from, to, waiting.outbox),
    refused: await reseal(from, to, waiting.refused),
    settled: await reseal(from, to, settled ?? []),
    drafts: await resealDrafts(from, to, waiting.drafts),
  };
  const same = await sameDrafts(phone, from, aside);
  await writeStrictly(phone.db, ["outbox", "settled", "drafts", "set_aside"], (tx) =>
    moveBack(tx, { ...aside, drafts: aside.drafts.filter(({ key }) => !same.has(key)) }, work),
  );
}

/** Which forms are here just as they were: from a file that was taken in before. */
async function sameDrafts(phone: Phone, from: CryptoKey, aside: StoredAside): Promise<Set<string>> {
  const same = new Set<string>();
  for (const old of aside.drafts) {
    const here = await phone.db.get("drafts", old.key);
    if (here === undefined) continue;
    const [was, is] = [await openDraft(from, old), await openDraft(phone.lock.key(), here)];
    if (JSON.stringify(was) === JSON.stringify(is)) same.add(old.key);
  }
  return same;
}

async function moveBack(tx: Tx, aside: StoredAside, work: AllWork): Promise<void> {
  const store = tx.objectStore("set_aside");
  // Another tab may have been faster, and a form left behind may have changed what is there.
  if ((await store.get(aside.id))?.outbox.length !== aside.outbox.length) return;
  const here = await idsHere(tx);
  for (const command of work.outbox) if (!here.has(command.id)) queue(addToOutbox(tx, command));
  for (const command of [...work.refused, ...work.settled]) {
    if (!here.has(command.id)) queue(tx.objectStore("settled").put(covered(command)));
  }
  const left = await moveDraftsBack(tx, aside, work);
  if (left.length === 0) queue(store.delete(aside.id));
  else queue(store.put({ ...aside, outbox: [], refused: [], settled: [], drafts: left }));
}

/** The base rows are newer than anything that was set aside. */
function covered(command: SettledCommand): SettledCommand {
  return command.status === "applied" ? { ...command, status: "covered" } : command;
}

async function idsHere(tx: Tx): Promise<Set<Id>> {
  const waiting = await tx.objectStore("outbox").getAll();
  const answered = await tx.objectStore("settled").getAllKeys();
  return new Set([...waiting.map(({ id }) => id), ...answered]);
}

/** A form that has been begun anew since stays as it is; the old one waits until its place is free. */
async function moveDraftsBack(tx: Tx, aside: StoredAside, work: Work): Promise<Work["drafts"]> {
  const drafts = tx.objectStore("drafts");
  const left: Work["drafts"] = [];
  for (const old of aside.drafts) {
    const draft = work.drafts.find(({ key }) => key === old.key);
    if (draft === undefined || (await drafts.getKey(old.key)) !== undefined) left.push(old);
    else queue(drafts.put(draft));
  }
  return left;
}

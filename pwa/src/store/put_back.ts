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
  writeUnderKey,
} from "./db";
import { openDraft, resealDrafts } from "./drafts";
import { Fault } from "./fault";
import { IDENTITY_PLACE, type Phone } from "./phone";
import { resealPictures } from "./pictures";
import { open } from "./seal";

export type Work = Pick<StoredAside, "outbox" | "refused" | "drafts" | "pictures">;
type AllWork = Work & Pick<Required<StoredAside>, "settled" | "pictures">;

const WRITTEN = ["outbox", "settled", "drafts", "set_aside", "pictures"] as const;

/** `from` is the key it lies under. Commands keep their ids: what did arrive is known by them. */
export async function putBackAside(
  phone: Phone,
  aside: StoredAside,
  from: CryptoKey,
  staff: Id | undefined,
): Promise<void> {
  const held = phone.lock.held();
  const to = held.key;
  const before = (await open(from, IDENTITY_PLACE, aside.identity)) as Identity;
  if (before.staff.id !== staff) throw new Fault("other_persons_work");
  const work: AllWork = {
    outbox: await reseal(from, to, aside.outbox),
    refused: await reseal(from, to, aside.refused),
    settled: await reseal(from, to, aside.settled ?? []),
    drafts: await resealDrafts(from, to, aside.drafts),
    pictures: await resealPictures(from, to, aside.pictures ?? []),
  };
  const same = await sameDrafts(phone, { from, to }, aside);
  const left = { ...aside, drafts: aside.drafts.filter(({ key }) => !same.has(key)) };
  await writeUnderKey(phone.db, held, [...WRITTEN], (tx) => moveBack(tx, left, work));
}

/** Which forms are here just as they were: from a file that was taken in before. */
async function sameDrafts(
  phone: Phone,
  { from, to }: { from: CryptoKey; to: CryptoKey },
  aside: StoredAside,
): Promise<Set<string>> {
  const same = new Set<string>();
  for (const old of aside.drafts) {
    const here = await phone.db.get("drafts", old.key);
    if (here === undefined) continue;
    const was = await openDraft(from, old).catch(() => undefined);
    if (was === undefined) continue;
    if (JSON.stringify(was) === JSON.stringify(await openDraft(to, here))) same.add(old.key);
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
  for (const picture of work.pictures) queue(tx.objectStore("pictures").put(picture));
  const left = await moveDraftsBack(tx, aside, work);
  if (left.length === 0) queue(store.delete(aside.id));
  else
    queue(
      store.put({ ...aside, outbox: [], refused: [], settled: [], pictures: [], drafts: left }),
    );
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

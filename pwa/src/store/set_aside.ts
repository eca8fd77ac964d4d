/**
 * Unsent work whose passphrase is forgotten. It is set aside, sealed under its old key, and comes back into
 * the outbox when the passphrase is remembered. It is taken off only in the transaction that puts it there.
 */
import { type Readable, writable } from "svelte/store";

import { momentOf } from "../domain/ids";
import type { Id, Instant } from "../wire/types";
import type { SetAside, SetAsideApi, UnsentWork } from "./api";
import { reseal } from "./commands";
import { type Identity, moveProgress, type StoredAside, type Tx, writeStrictly } from "./db";
import { resealDrafts } from "./drafts";
import { Fault } from "./fault";
import { unwrapRecordKey } from "./passphrase";
import { IDENTITY_PLACE, type Phone } from "./phone";
import { open } from "./seal";

type Work = Pick<StoredAside, "outbox" | "refused" | "drafts">;

export class AsideWork implements SetAsideApi {
  readonly #phone: Phone;
  readonly #staff: () => Id | undefined;
  readonly #changed: () => Promise<void>;
  readonly #shown = writable<readonly SetAside[]>([]);
  readonly subscribe: Readable<readonly SetAside[]>["subscribe"] = this.#shown.subscribe;

  constructor(phone: Phone, staff: () => Id | undefined, changed: () => Promise<void>) {
    this.#phone = phone;
    this.#staff = staff;
    this.#changed = changed;
  }

  async read(): Promise<void> {
    const stored = await this.#phone.db.getAll("set_aside");
    this.#shown.set(
      stored.map((aside) => ({
        ...measure(aside),
        id: aside.id,
        set_aside_at: aside.set_aside_at,
      })),
    );
  }

  async bringBack(id: Id, passphrase: string): Promise<void> {
    const aside = await this.#phone.db.get("set_aside", id);
    if (aside !== undefined) await putBackAside(this.#phone, aside, passphrase, this.#staff());
    await this.#changed();
  }
}

/** Needs no key: what it counts and the ids lie open. */
export async function unsentWork(phone: Phone): Promise<UnsentWork> {
  const [outbox, refused, drafts] = await Promise.all([
    phone.db.getAll("outbox"),
    phone.db.getAllFromIndex("settled", "status", "refused"),
    phone.db.getAll("drafts"),
  ]);
  return measure({ outbox, refused, drafts });
}

function measure({ outbox, refused, drafts }: Work): UnsentWork {
  const made = [...outbox, ...refused].map(({ id }) => momentOf(id).getTime());
  return {
    entries: made.length,
    forms: drafts.length,
    since: made.length === 0 ? null : new Date(Math.min(...made)).toISOString(),
  };
}

export function isNothing({ entries, forms }: UnsentWork): boolean {
  return entries + forms === 0;
}

/** To be called before the stores are emptied, in the same transaction. */
export async function setAsideUnsent(tx: Tx, id: Id, set_aside_at: Instant): Promise<void> {
  const work: Work = {
    outbox: await tx.objectStore("outbox").getAll(),
    refused: await tx.objectStore("settled").index("status").getAll("refused"),
    drafts: await tx.objectStore("drafts").getAll(),
  };
  if (isNothing(measure(work))) return;
  const meta = tx.objectStore("meta");
  const wrapped_key = (await meta.get("wrapped_key")) as StoredAside["wrapped_key"] | undefined;
  const identity = (await meta.get("identity")) as StoredAside["identity"] | undefined;
  if (wrapped_key === undefined || identity === undefined) throw new Fault("record_damaged");
  await tx.objectStore("set_aside").add({ id, set_aside_at, wrapped_key, identity, ...work });
}

/** Whether this opens something that was set aside. */
export async function isOldPassphrase(phone: Phone, passphrase: string): Promise<boolean> {
  for (const { wrapped_key } of await phone.db.getAll("set_aside")) {
    const fits = await unwrapRecordKey(passphrase, wrapped_key).then(
      () => true,
      () => false,
    );
    if (fits) return true;
  }
  return false;
}

async function putBackAside(
  phone: Phone,
  aside: StoredAside,
  passphrase: string,
  staff: Id | undefined,
): Promise<void> {
  const [to, from] = [phone.lock.key(), await unwrapRecordKey(passphrase, aside.wrapped_key)];
  const before = (await open(from, IDENTITY_PLACE, aside.identity)) as Identity;
  if (before.staff.id !== staff) throw new Fault("other_persons_work");
  const work: Work = {
    // A server takes a known id under another device number for a clone's work.
    outbox: await reseal(from, to, aside.outbox, () => phone.newId()),
    refused: await reseal(from, to, aside.refused, (id) => id),
    drafts: await resealDrafts(from, to, aside.drafts),
  };
  const stores = ["outbox", "settled", "drafts", "set_aside", "meta"] as const;
  await writeStrictly(phone.db, [...stores], (tx) => moveBack(tx, aside, work));
}

async function moveBack(tx: Tx, aside: StoredAside, work: Work): Promise<void> {
  const store = tx.objectStore("set_aside");
  // Another tab may have been faster, and a form left behind may have changed what is there.
  if ((await store.get(aside.id))?.outbox.length !== aside.outbox.length) return;
  const { next_seq } = await moveProgress(tx, (progress) => ({
    next_seq: progress.next_seq + work.outbox.length,
  }));
  for (const [at, command] of work.outbox.entries())
    await tx.objectStore("outbox").add({ ...command, seq: next_seq + at });
  for (const command of work.refused) await tx.objectStore("settled").put({ ...command, seq: 0 });
  const left = await moveDraftsBack(tx, aside, work);
  if (left.length === 0) await store.delete(aside.id);
  else await store.put({ ...aside, outbox: [], refused: [], drafts: left });
}

/** A form that has been begun anew since stays as it is; the old one waits until its place is free. */
async function moveDraftsBack(tx: Tx, aside: StoredAside, work: Work): Promise<Work["drafts"]> {
  const drafts = tx.objectStore("drafts");
  const left: Work["drafts"] = [];
  for (const [at, old] of aside.drafts.entries()) {
    const draft = work.drafts[at];
    if (draft === undefined || (await drafts.getKey(old.key)) !== undefined) left.push(old);
    else await drafts.put(draft);
  }
  return left;
}

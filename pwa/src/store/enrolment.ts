/** Makes a phone the device of a person, for the first time or again; and forgets it when it is revoked. */
import type { Http } from "../wire/http";
import type { Id } from "../wire/types";
import { reseal } from "./commands";
import {
  ALL_STORES,
  type Identity,
  type Progress,
  putMeta,
  type StoredCommand,
  type Tx,
  writeStrictly,
} from "./db";
import { Fault } from "./fault";
import type { WrappedKey } from "./passphrase";
import { IDENTITY_PLACE, type Phone, readIdentity } from "./phone";
import { type Box, seal } from "./seal";
import { setAsideUnsent } from "./set_aside";

export interface Enrolled {
  identity: Identity;
  next_seq: number;
}

export async function enrol(
  http: Http,
  email: string,
  password: string,
  device: Id,
  name: string,
): Promise<Enrolled> {
  const session = await http.login(email, password);
  const { token, staff, practice, next_seq } = await http.enrol(session, device, name);
  // The session has done its work; that it ends is a kindness to the server and no condition.
  void http.endSession(session).catch(() => undefined);
  return { identity: { token, device, staff, practice }, next_seq };
}

/** Writes a person's first key and identity. Unsent work under an older key is set aside with that key. */
export async function settleIn(
  phone: Phone,
  key: CryptoKey,
  wrapped: WrappedKey,
  enrolled: Enrolled,
): Promise<void> {
  const box = await seal(key, IDENTITY_PLACE, enrolled.identity);
  const [aside, at] = [phone.newId(), phone.now().toISOString()];
  await writeStrictly(phone.db, ALL_STORES, async (tx) => {
    await setAsideUnsent(tx, aside, at);
    for (const store of ["rows", "outbox", "settled", "drafts"] as const) {
      await tx.objectStore(store).clear();
    }
    await putMeta(tx, "wrapped_key", wrapped);
    await writeIdentity(tx, enrolled, box, enrolled.next_seq);
  });
}

/**
 * The same person on the same phone under a new device number. Unsent work gets new ids and numbers; base
 * rows are fetched afresh.
 */
export async function settleInAgain(
  phone: Phone,
  key: CryptoKey,
  enrolled: Enrolled,
): Promise<void> {
  const before = await readIdentity(phone.db, key);
  if (before.staff.id !== enrolled.identity.staff.id) throw new Fault("other_persons_work");
  const box = await seal(key, IDENTITY_PLACE, enrolled.identity);
  // A server takes a known id under another device number for a clone's work.
  const unsent = await phone.db.getAll("outbox");
  const outbox = await reseal(key, key, unsent, () => phone.newId());
  const complete = await writeStrictly(phone.db, ALL_STORES, async (tx) => {
    // Another tab may have added a command since.
    if ((await tx.objectStore("outbox").count()) !== outbox.length) return false;
    await tx.objectStore("rows").clear();
    await unnumberSettled(tx);
    await writeIdentity(tx, enrolled, box, await renumberOutbox(tx, outbox, enrolled.next_seq));
    return true;
  });
  if (!complete) await settleInAgain(phone, key, enrolled);
}

/** Returns the number after the last. */
async function renumberOutbox(tx: Tx, commands: StoredCommand[], first: number): Promise<number> {
  const outbox = tx.objectStore("outbox");
  await outbox.clear();
  let seq = first;
  for (const command of commands) {
    await outbox.add({ ...command, seq });
    seq += 1;
  }
  return seq;
}

/** Numbers of the old device mean nothing to the server under the new one; 0 is never asked for again. */
async function unnumberSettled(tx: Tx): Promise<void> {
  const settled = tx.objectStore("settled");
  for (const command of await settled.getAll()) await settled.put({ ...command, seq: 0 });
}

async function writeIdentity(
  tx: Tx,
  { identity }: Enrolled,
  box: Box,
  next_seq: number,
): Promise<void> {
  const fresh = { cursor: null, epoch: null, last_ok_at: null, revoked: false };
  const progress: Progress = { device: identity.device, next_seq, ...fresh };
  await putMeta(tx, "identity", box);
  await putMeta(tx, "progress", progress);
}

/** False where another tab has changed the passphrase since `before` was read. */
export function replaceWrapped(
  phone: Phone,
  before: WrappedKey,
  wrapped: WrappedKey,
): Promise<boolean> {
  return writeStrictly(phone.db, ["meta"], async (tx) => {
    const now = (await tx.objectStore("meta").get("wrapped_key")) as WrappedKey | undefined;
    // Every wrapping has a nonce of its own.
    if (now?.iv.join() !== before.iv.join()) return false;
    await putMeta(tx, "wrapped_key", wrapped);
    return true;
  });
}

/**
 * Records and drafts go. Work that never reached the server stays sealed, with the wrapped key that opens
 * it, so that the same person can send it after signing in again; without such work the key goes too.
 */
export async function wipe(phone: Phone): Promise<void> {
  await writeStrictly(phone.db, ALL_STORES, async (tx) => {
    await tx.objectStore("rows").clear();
    await tx.objectStore("drafts").clear();
    const settled = tx.objectStore("settled");
    for (const command of await settled.getAll()) {
      if (command.status !== "refused") await settled.delete(command.id);
    }
    const unsent = (await tx.objectStore("outbox").count()) + (await settled.count());
    const meta = tx.objectStore("meta");
    if (unsent === 0) {
      await meta.delete("wrapped_key");
      await meta.delete("identity");
    }
    const progress = (await meta.get("progress")) as Progress;
    await putMeta(tx, "progress", { ...progress, cursor: null, revoked: true });
  });
}

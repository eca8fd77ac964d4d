/** Makes a phone the device of a person, for the first time or again; and forgets it when it is revoked. */
import { type Lease, leaseHeard } from "../domain/lease";
import type { Http } from "../wire/http";
import type { Id } from "../wire/types";
import { renumberOutbox } from "./commands";
import {
  ALL_STORES,
  type Identity,
  leaveKey,
  type Progress,
  putMeta,
  readMeta,
  readProgress,
  type Tx,
  writeStrictly,
} from "./db";
import { Fault } from "./fault";
import type { WrappedKey } from "./passphrase";
import { IDENTITY_PLACE, type Phone, readIdentity } from "./phone";
import { type Box, seal } from "./seal";
import { dropSentPictures, forgetPictures } from "./pictures";
import { isOfUse, setAsideWork } from "./set_aside";

export interface Enrolled {
  identity: Identity;
  /** The server was restored to a time before this phone last heard from it. */
  lost: boolean;
  next_seq: number;
  lease: Lease;
}

export async function enrol(
  phone: Phone,
  http: Http,
  email: string,
  password: string,
  name: string,
): Promise<Enrolled> {
  const device = phone.newId();
  const session = await http.login(email, password);
  const heard = (await readMeta(phone.db, "progress"))?.heard ?? null;
  const { token, staff, practice, next_seq, lost, ...said } = await http.enrol(
    session,
    device,
    name,
    heard,
  );
  // The session has done its work; that it ends is a kindness to the server and no condition.
  void http.endSession(session).catch(() => undefined);
  const lease = leaseHeard(said, phone.now().toISOString());
  return { identity: { token, device, staff, practice }, lost, next_seq, lease };
}

/**
 * Writes a person's first key and identity. Work under an older key is set aside with that key: to be sent, or
 * in case the server loses it.
 */
export async function settleIn(
  phone: Phone,
  key: CryptoKey,
  wrapped: WrappedKey,
  enrolled: Enrolled,
): Promise<void> {
  const box = await seal(key, IDENTITY_PLACE, enrolled.identity);
  const [aside, at] = [phone.newId(), phone.now().toISOString()];
  await writeStrictly(phone.db, ALL_STORES, async (tx) => {
    await setAsideWork(tx, aside, at, enrolled.lost);
    for (const store of ["blocks", "rows", "outbox", "settled", "drafts"] as const) {
      await tx.objectStore(store).clear();
    }
    await forgetPictures(tx);
    await tx.objectStore("meta").delete("manifest");
    await tx.objectStore("meta").delete("contact_times");
    await putMeta(tx, "wrapped_key", wrapped);
    await leaveKey(tx);
    await writeIdentity(tx, enrolled, box, null);
  });
}

/**
 * The same person on the same phone under a new device number. Unsent work keeps its ids, by which the
 * server knows what did arrive before. Base rows and their cursor stay: a cursor is a place in the practice's
 * history, not a device's, and where the server has lost that history the cursor shows it.
 */
export async function settleInAgain(
  phone: Phone,
  key: CryptoKey,
  enrolled: Enrolled,
): Promise<void> {
  const before = await readIdentity(phone.db, key);
  if (before.staff.id !== enrolled.identity.staff.id) throw new Fault("other_persons_work");
  const box = await seal(key, IDENTITY_PLACE, enrolled.identity);
  await writeStrictly(phone.db, ALL_STORES, async (tx) => {
    const { cursor } = await readProgress(tx);
    await writeIdentity(tx, enrolled, box, cursor);
  });
}

/** Whatever waits gets the first numbers of the new device. */
async function writeIdentity(
  tx: Tx,
  enrolled: Enrolled,
  box: Box,
  cursor: string | null,
): Promise<void> {
  const { identity, next_seq, lease } = enrolled;
  const before = (await tx.objectStore("meta").get("progress")) as Progress | undefined;
  await putMeta(tx, "identity", box);
  await putMeta(tx, "progress", {
    device: identity.device,
    numbered_after: await renumberOutbox(tx, next_seq),
    cursor,
    base: before?.base ?? 0,
    lease,
    heard: before?.heard ?? null,
    gone_through: {},
    last_ok_at: null,
    revoked: false,
  });
}

/** The practice has said something new about itself. Nothing is written under another device's name. */
export async function rewriteIdentity(phone: Phone, identity: Identity): Promise<void> {
  const box = await seal(phone.lock.key(), IDENTITY_PLACE, identity);
  await writeStrictly(phone.db, ["meta"], async (tx) => {
    if ((await readProgress(tx)).device === identity.device) await putMeta(tx, "identity", box);
  });
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
 * it, so that the same person can send it after signing in again; without such work the key goes too. What
 * the server has had goes as well: the practice wants nothing left here that it has.
 * `taken` are refused commands that the server keeps because it shut this phone out.
 */
export async function wipe(phone: Phone, taken: ReadonlySet<Id>): Promise<void> {
  await writeStrictly(phone.db, ALL_STORES, async (tx) => {
    for (const store of ["blocks", "rows", "drafts"] as const) await tx.objectStore(store).clear();
    const settled = tx.objectStore("settled");
    for (const { id, status } of await settled.getAll()) {
      if (status !== "refused" || taken.has(id)) await settled.delete(id);
    }
    const asides = tx.objectStore("set_aside");
    for (const aside of await asides.getAll()) {
      const left = aside.settled === undefined ? aside : { ...aside, settled: [] };
      await (isOfUse(left) ? asides.put(left) : asides.delete(aside.id));
    }
    await dropSentPictures(tx);
    const waiting = (await tx.objectStore("outbox").count()) + (await settled.count());
    const unsent = waiting + (await tx.objectStore("pictures").count());
    const meta = tx.objectStore("meta");
    await meta.delete("manifest");
    await meta.delete("contact_times");
    if (unsent === 0) {
      await meta.delete("wrapped_key");
      await meta.delete("identity");
      await leaveKey(tx);
    }
    const progress = await readProgress(tx);
    await putMeta(tx, "progress", { ...progress, cursor: null, revoked: true });
  });
}

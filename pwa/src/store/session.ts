/** From signed out to unlocked and back: whose phone this is, and the passphrase that opens it. */
import { derived, type Readable, writable } from "svelte/store";

import { type Http, HttpFault } from "../wire/http";
import type { SessionState, UnsentWork } from "./api";
import { readCommands } from "./commands";
import { type Identity, type Progress, readMeta } from "./db";
import {
  type Enrolled,
  enrol,
  replaceWrapped,
  rewriteIdentity,
  settleIn,
  settleInAgain,
  wipe,
} from "./enrolment";
import { Fault, faultOf } from "./fault";
import { LeaseWatch } from "./lease";
import {
  checkPassphrase,
  lendNewKey,
  lendRecordKey,
  type RawKey,
  type WrappedKey,
  wrapRecordKey,
} from "./passphrase";
import { type Phone, readHolder, readIdentity } from "./phone";
import { copyForPractice, isFor } from "./recovery";
import { importKey } from "./seal";
import { isNothing, isOldPassphrase, unsentWork } from "./set_aside";

export class Session {
  readonly #phone: Phone;
  readonly #http: Http;
  readonly #opened: () => Promise<void>;
  readonly #identity = writable<Identity | null>(null);
  readonly state: Readable<SessionState>;
  identity: Identity | null = null;
  /** Signed in, not yet written: waits for a passphrase, new or old. */
  #enrolled: Enrolled | null = null;
  readonly #signedIn = writable<{ lost: boolean } | null>(null);
  readonly #lease: LeaseWatch;

  constructor(phone: Phone, http: Http, opened: () => Promise<void>) {
    this.#phone = phone;
    this.#http = http;
    this.#opened = opened;
    this.#lease = new LeaseWatch(phone);
    this.state = derived(
      [phone.lock.state, this.#identity, this.#signedIn, this.#lease.left],
      ([lock, identity, signedIn, lease_left_seconds]) => ({
        ...lock,
        signed_in: signedIn !== null,
        records_lost: signedIn?.lost ?? false,
        lease_left_seconds,
        device: identity?.device ?? null,
        staff: identity?.staff ?? null,
        practice: identity?.practice ?? null,
      }),
    );
  }

  async start(): Promise<void> {
    const progress: Progress | undefined = await readMeta(this.#phone.db, "progress");
    if (progress === undefined) this.#phone.lock.close("signed_out");
    else this.#phone.lock.close(progress.revoked ? "revoked" : "locked");
  }

  async signIn(email: string, password: string, deviceName: string): Promise<void> {
    try {
      this.#enrolled = await enrol(this.#phone, this.#http, email, password, deviceName);
    } catch (cause) {
      throw new Fault(signInFault(cause), { cause });
    }
    const clear = isNothing(await this.unsentWork());
    this.#forget();
    this.#signedIn.set({ lost: this.#enrolled.lost });
    this.#phone.lock.close(clear ? "choose_passphrase" : "locked");
  }

  async choosePassphrase(passphrase: string): Promise<void> {
    checkPassphrase(passphrase);
    if (this.#enrolled === null || this.#phone.lock.phase !== "choose_passphrase") {
      throw new Fault("not_signed_in");
    }
    const enrolled = this.#enrolled;
    const { key, wrapped } = await lendNewKey(async (raw) => ({
      key: await importKey(raw),
      wrapped: await lockAway(passphrase, raw, enrolled.identity),
    }));
    await settleIn(this.#phone, key, wrapped, enrolled);
    this.#phone.tellTabs("identity");
    await this.#open(key);
  }

  /** What would be lost with the key: not sent, or lost by the server that was signed in to. */
  unsentWork(): Promise<UnsentWork> {
    return unsentWork(this.#phone, this.#enrolled?.lost ?? false);
  }

  /** The unsent work is set aside when the new passphrase is chosen, and not before. */
  startAnew(): void {
    if (this.#enrolled === null) throw new Fault("not_signed_in");
    this.#phone.lock.close("choose_passphrase");
  }

  async unlock(passphrase: string): Promise<void> {
    const wrapped = await readMeta(this.#phone.db, "wrapped_key");
    if (wrapped === undefined) throw new Fault("not_signed_in");
    if (this.#phone.lock.phase === "revoked") throw new Fault("device_revoked");
    const key = await this.#unwrap(passphrase, wrapped);
    if (this.#enrolled !== null) {
      await settleInAgain(this.#phone, key, this.#enrolled);
      this.#phone.tellTabs("identity");
    }
    await this.#open(key);
  }

  /** Other tabs are locked: whoever is at them has to know the new one. */
  async changePassphrase(old: string, passphrase: string): Promise<void> {
    checkPassphrase(passphrase);
    const { identity } = this;
    if (identity === null || this.#phone.lock.phase !== "unlocked") throw new Fault("locked");
    const before = await readMeta(this.#phone.db, "wrapped_key");
    if (before === undefined) throw new Fault("not_signed_in");
    const wrapped = await lendRecordKey(old, before, (raw) => lockAway(passphrase, raw, identity));
    if (!(await replaceWrapped(this.#phone, before, wrapped))) throw new Fault("wrong_passphrase");
    this.#phone.tellTabs("locked");
  }

  lock(): void {
    if (this.identity !== null) this.#phone.lock.close("locked");
  }

  /** The practice was heard from in full: what was closed for want of that opens. */
  async heard(): Promise<void> {
    await this.#lease.read();
    if (!this.#lease.isOver()) this.#phone.lock.leaseRenewed();
  }

  /** The practice's key for copies of record keys: the next unlock by passphrase makes one. */
  async heardOfKey(recovery_key: string): Promise<void> {
    const { identity } = this;
    if (identity === null || identity.practice.recovery_key === recovery_key) return;
    const practice = { ...identity.practice, recovery_key };
    this.identity = { ...identity, practice };
    await rewriteIdentity(this.#phone, this.identity);
  }

  tick(): void {
    this.#lease.tick();
    if (this.#lease.isOver()) this.#phone.lock.leaseOver();
  }

  async revoked(): Promise<void> {
    const { refused } = await readCommands(this.#phone).catch(() => ({ refused: [] }));
    const taken = refused.filter(({ refusal }) => refusal?.code === "device_revoked");
    try {
      await wipe(this.#phone, new Set(taken.map(({ id }) => id)));
    } finally {
      // A disk that lets nothing be written, or deleted, keeps nothing open.
      this.#phone.tellTabs("identity");
      this.#forget();
      this.#phone.lock.close("revoked");
    }
  }

  /** What of the person is in memory goes with the key. */
  locked(): void {
    this.#forget();
  }

  async #unwrap(passphrase: string, wrapped: WrappedKey): Promise<CryptoKey> {
    try {
      return await lendRecordKey(passphrase, wrapped, async (raw) => {
        const key = await importKey(raw);
        await this.#leaveCopy(key, raw, wrapped).catch(this.#phone.report);
        return key;
      });
    } catch (cause) {
      const old = await isOldPassphrase(this.#phone, passphrase);
      throw old ? new Fault("old_passphrase", { cause }) : cause;
    }
  }

  /** For a phone whose key was made before the practice had one to copy it to, or has another since. */
  async #leaveCopy(key: CryptoKey, raw: RawKey, wrapped: WrappedKey): Promise<void> {
    const identity = await readIdentity(this.#phone.db, key);
    if (isFor(wrapped.recovery, identity)) return;
    const recovery = await copyForPractice(raw, identity);
    if (recovery === undefined) return;
    await replaceWrapped(this.#phone, wrapped, { ...wrapped, recovery });
  }

  async #open(key: CryptoKey): Promise<void> {
    const { identity, held } = await readHolder(this.#phone.db, key);
    await this.#lease.read();
    // From here on nothing fails: whoever has not got through may try again.
    this.#enrolled = null;
    this.#signedIn.set(null);
    this.identity = identity;
    this.#identity.set(identity);
    this.#phone.lock.opened(held, this.#lease.isOver() ? "lease_over" : "unlocked");
    await this.#opened();
  }

  #forget(): void {
    this.identity = null;
    this.#identity.set(null);
  }
}

/** Under the passphrase, and beside it under the practice's key where there is one. */
async function lockAway(passphrase: string, raw: RawKey, identity: Identity): Promise<WrappedKey> {
  const wrapped = await wrapRecordKey(passphrase, raw);
  const recovery = await copyForPractice(raw, identity);
  return recovery === undefined ? wrapped : { ...wrapped, recovery };
}

/** allauth answers 400 where mail or password do not fit, 401 where it wants a further step. */
function signInFault(cause: unknown) {
  if (!(cause instanceof HttpFault)) return faultOf(cause);
  if (cause.status === 400) return "wrong_sign_in";
  if (cause.status === 401) return "sign_in_needs_more";
  return faultOf(cause);
}

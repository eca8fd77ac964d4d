/**
 * Watches the lease: for how long the records may be opened without a word from the practice. Keeps what has
 * gone of it, so that no setting of the clock makes it last longer.
 */
import { type Readable, writable } from "svelte/store";

import { isSameLease, type Lease, leaseLeft, leaseSeen } from "../domain/lease";
import { putMeta, readMeta, readProgress, writeStrictly } from "./db";
import type { Phone } from "./phone";

const HOUR = 3600;
/** Seconds: how much may go before it is worth a write. */
const UNWRITTEN = 60;

export class LeaseWatch {
  readonly #phone: Phone;
  readonly #left = writable<number | null>(null);
  /** In hours begun: nobody reads it by the second. 0 is over. */
  readonly left: Readable<number | null> = { subscribe: this.#left.subscribe };
  #lease: Lease | null = null;
  /** As it is on disk, but for what other tabs have written since. */
  #written: Lease | null = null;
  /** What this page's own clock showed at the reading, seconds. It runs on whatever the phone's is set to. */
  #readAt = 0;
  #goneThen = 0;

  constructor(phone: Phone) {
    this.#phone = phone;
  }

  /** As it stands on disk, and the present time seen with it. */
  async read(): Promise<void> {
    const progress = await readMeta(this.#phone.db, "progress");
    // An earlier app did not keep what had gone: it counts from the next answer.
    const there = progress?.lease?.elapsed === undefined ? null : progress.lease;
    this.#look();
    this.#lease = laterOf(this.#lease, there);
    this.#written = there;
    this.#readAt = ran();
    this.#goneThen = this.#lease?.elapsed ?? 0;
    await this.#see();
    this.#say();
  }

  /** Call now and then. */
  tick(): void {
    void this.#see();
    this.#say();
  }

  isOver(): boolean {
    return this.#lease !== null && leaseLeft(this.#lease, this.#phone.now()) <= 0;
  }

  #look(): void {
    if (this.#lease === null) return;
    const since = this.#goneThen + ran() - this.#readAt;
    this.#lease = leaseSeen(this.#lease, this.#phone.now(), since);
  }

  async #see(): Promise<void> {
    this.#look();
    const lease = this.#lease;
    if (lease === null || !isWorthWriting(this.#written, lease)) return;
    this.#written = lease;
    // On a full disk what has gone is counted here, and nobody is kept from their work.
    await this.#write(lease).catch(this.#phone.report);
  }

  async #write(lease: Lease): Promise<void> {
    await writeStrictly(this.#phone.db, ["meta"], async (tx) => {
      const progress = await readProgress(tx);
      const there = progress.lease;
      // The practice may have been heard since, and another tab may have seen more go.
      if (there === null || !isSameLease(there, lease)) return;
      const elapsed = Math.max(there.elapsed, lease.elapsed);
      await putMeta(tx, "progress", { ...progress, lease: { ...lease, elapsed } });
    });
  }

  #say(): void {
    if (this.#lease === null) {
      this.#left.set(null);
      return;
    }
    const left = Math.max(0, leaseLeft(this.#lease, this.#phone.now()));
    this.#left.set(Math.ceil(left / HOUR) * HOUR);
  }
}

/** What was seen here and is not written yet counts on, unless the practice was heard since. */
function laterOf(seen: Lease | null, there: Lease | null): Lease | null {
  if (seen === null || there === null || !isSameLease(seen, there)) return there;
  return { ...seen, elapsed: Math.max(seen.elapsed, there.elapsed) };
}

function isWorthWriting(before: Lease | null, now: Lease): boolean {
  if (before === null || now.latest_seen < before.latest_seen) return true;
  return now.elapsed - before.elapsed >= UNWRITTEN;
}

function ran(): number {
  return performance.now() / 1000;
}

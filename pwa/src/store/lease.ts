/**
 * Watches the lease: for how long the records may be opened without a word from the practice. Keeps the
 * latest time that the clock has shown, so that setting it back makes nothing last longer.
 */
import { type Readable, writable } from "svelte/store";

import { type Lease, leaseLeft } from "../domain/lease";
import { putMeta, readMeta, readProgress, writeStrictly } from "./db";
import type { Phone } from "./phone";

const HOUR = 3600;
/** Seconds: how much may pass before the time that was seen is worth a write. */
const UNSEEN = 300;

export class LeaseWatch {
  readonly #phone: Phone;
  readonly #left = writable<number | null>(null);
  /** In hours begun: nobody reads it by the second. 0 is over. */
  readonly left: Readable<number | null> = { subscribe: this.#left.subscribe };
  #lease: Lease | null = null;

  constructor(phone: Phone) {
    this.#phone = phone;
  }

  /** As it stands on disk, and the present time seen with it. */
  async read(): Promise<void> {
    const progress = await readMeta(this.#phone.db, "progress");
    this.#lease = progress?.lease ?? null;
    await this.#see();
    this.#say();
  }

  /** Call now and then. */
  tick(): void {
    void this.#see().catch(this.#phone.report);
    this.#say();
  }

  isOver(): boolean {
    return this.#lease !== null && leaseLeft(this.#lease, this.#phone.now()) <= 0;
  }

  async #see(): Promise<void> {
    if (this.#lease === null) return;
    const time = this.#phone.now();
    if (time.getTime() - Date.parse(this.#lease.latest_seen) < UNSEEN * 1000) return;
    const now = time.toISOString();
    this.#lease = { ...this.#lease, latest_seen: now };
    await writeStrictly(this.#phone.db, ["meta"], async (tx) => {
      const progress = await readProgress(tx);
      const { lease } = progress;
      if (lease === null || time.getTime() <= Date.parse(lease.latest_seen)) return;
      await putMeta(tx, "progress", { ...progress, lease: { ...lease, latest_seen: now } });
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

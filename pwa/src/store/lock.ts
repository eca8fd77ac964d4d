/**
 * Who may see what is on the phone just now. Holds the record key and the PIN, both in memory only. Reads
 * and writes nothing.
 */
import { type Readable, writable } from "svelte/store";

import type { Phase } from "./api";
import type { HeldKey } from "./db";
import { Fault } from "./fault";

export interface LockSettings {
  /** Idle for so long: covered, the PIN is enough. */
  cover_after_seconds: number;
  /** Idle for so long: the key is dropped, the passphrase is needed. */
  lock_after_seconds: number;
  /** While first aid is read: idle for so long, and it is locked all the same. */
  in_use_seconds: number;
  pin_tries: number;
}

export const LOCK_SETTINGS: LockSettings = {
  cover_after_seconds: 120,
  lock_after_seconds: 900,
  in_use_seconds: 1800,
  pin_tries: 5,
};

export interface LockState {
  phase: Phase;
  pin_set: boolean;
  pin_tries_left: number;
}

/** lease_over has the key, for what is still to be sent and fetched, and shows no record. */
type OpenPhase = "unlocked" | "lease_over";
type ClosedPhase = Exclude<Phase, OpenPhase | "covered">;

export class Lock {
  readonly #state;
  readonly state: Readable<LockState>;
  readonly #settings: LockSettings;
  readonly #now: () => Date;
  #phase: Phase = "starting";
  #held: HeldKey | null = null;
  #pin: string | null = null;
  #triesLeft: number;
  #touchedAt = 0;
  #inUse = false;

  constructor(settings: LockSettings, now: () => Date) {
    this.#settings = settings;
    this.#now = now;
    this.#triesLeft = settings.pin_tries;
    this.#state = writable(this.#snapshot());
    this.state = { subscribe: this.#state.subscribe };
  }

  get phase(): Phase {
    return this.#phase;
  }

  /** Whether somebody reads what no touch shows, such as first aid with both hands on a wound. */
  get inUse(): boolean {
    return this.#inUse;
  }

  /** Idle times count from the last touch all the same: once it ends, they are over at once. */
  setInUse(on: boolean): void {
    this.#inUse = on;
  }

  /** The record key; throws `locked` where the phase has none. */
  key(): CryptoKey {
    return this.held().key;
  }

  /** The same with its numbers, for whoever writes later what is sealed now (db.ts, `writeUnderKey`). */
  held(): HeldKey {
    if (this.#held === null) throw new Fault("locked");
    return this.#held;
  }

  /** The record key for whoever shows what it opens; throws `lease_over` where nothing may be shown. */
  keyToShow(): CryptoKey {
    if (this.#phase === "lease_over") throw new Fault("lease_over");
    return this.key();
  }

  opened(held: HeldKey, phase: OpenPhase): void {
    this.#held = held;
    this.#touchedAt = this.#now().getTime();
    this.#triesLeft = this.#settings.pin_tries;
    this.#enter(phase);
  }

  /** The practice was not heard from for too long. */
  leaseOver(): void {
    if (this.#held === null || this.#phase === "lease_over") return;
    this.#pin = null;
    this.#enter("lease_over");
  }

  leaseRenewed(): void {
    if (this.#phase === "lease_over") this.#enter("unlocked");
  }

  /** Drops key and PIN. */
  close(phase: ClosedPhase): void {
    this.#held = null;
    this.#pin = null;
    this.#enter(phase);
  }

  setPin(pin: string): void {
    if (this.#phase !== "unlocked") throw new Fault("locked");
    if (!/^\d{4,6}$/.test(pin)) throw new Fault("pin_not_digits");
    this.#pin = pin;
    this.#triesLeft = this.#settings.pin_tries;
    this.#announce();
  }

  cover(): void {
    if (this.#phase === "unlocked") this.#enter("covered");
  }

  uncover(pin: string): void {
    this.tick();
    if (this.#phase !== "covered") throw new Fault("locked");
    if (this.#pin === null) throw new Fault("pin_gone");
    if (pin !== this.#pin) this.#wrongPin();
    this.#triesLeft = this.#settings.pin_tries;
    this.#touchedAt = this.#now().getTime();
    this.#enter("unlocked");
  }

  touched(): void {
    // A phone that has slept wakes with a touch: the idle time before it counts first.
    this.tick();
    if (this.#phase !== "covered") this.#touchedAt = this.#now().getTime();
  }

  tick(): void {
    if (this.#held === null) return;
    const idle = (this.#now().getTime() - this.#touchedAt) / 1000;
    const { cover_after_seconds, lock_after_seconds, in_use_seconds } = this.#settings;
    const [cover, lock] = this.#inUse
      ? [in_use_seconds, in_use_seconds]
      : [cover_after_seconds, lock_after_seconds];
    // A clock that went far back tells nothing about how long the phone lay there.
    if (idle < -cover_after_seconds || idle >= lock) this.close("locked");
    else if (idle >= cover) this.cover();
  }

  #wrongPin(): never {
    this.#triesLeft -= 1;
    if (this.#triesLeft > 0) {
      this.#announce();
      throw new Fault("wrong_pin");
    }
    this.close("locked");
    throw new Fault("pin_gone");
  }

  #enter(phase: Phase): void {
    this.#phase = phase;
    this.#announce();
  }

  #announce(): void {
    this.#state.set(this.#snapshot());
  }

  #snapshot(): LockState {
    return {
      phase: this.#phase,
      pin_set: this.#pin !== null,
      pin_tries_left: this.#triesLeft,
    };
  }
}

/**
 * When to sync, and what to say about it. A round that fails is tried again later and later; one that was
 * refused as a whole stops.
 */
import { type Readable, writable } from "svelte/store";

import { type Http, HttpFault } from "../wire/http";
import type { SyncState } from "./api";
import type { CommandLists } from "./commands";
import { readMeta } from "./db";
import { FINAL, faultOf } from "./fault";
import { OneAtATime } from "./one_at_a_time";
import type { Phone } from "./phone";
import { Round, type RoundHooks } from "./round";

export interface SyncHooks extends Omit<RoundHooks, "asks" | "clockOff"> {
  /** A round has ended well; what it awaits is part of it. */
  inStep: () => Promise<void>;
  revoked: () => Promise<void>;
}

const USUAL_PAUSE = 60_000;
/** Without a word from the server for so long, the person is told that it is being tried still. */
const SLOW = 10_000;
/** What is made in quick succession travels together: no round for each. */
const SOON = 300;
const FIRST_RETRY = 2_000;
const LONGEST_RETRY = 300_000;

export class Sync {
  readonly #phone: Phone;
  readonly #hooks: SyncHooks;
  readonly #round: Round;
  readonly #state = writable<SyncState>({
    state: "idle",
    detail: null,
    pending: 0,
    oldest_pending_at: null,
    photos_pending: 0,
    photos_damaged: 0,
    refused: 0,
    last_ok_at: null,
    checked: false,
    slow: false,
    clock_off_seconds: null,
    storage_kept: null,
    storage_nearly_full: false,
  });
  readonly state: Readable<SyncState> = { subscribe: this.#state.subscribe };
  readonly #rounds = new OneAtATime(() => this.#try());
  #resent = false;
  #failures = 0;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #slowTimer: ReturnType<typeof setTimeout> | null = null;
  #soonTimer: ReturnType<typeof setTimeout> | null = null;

  constructor(phone: Phone, http: Http, hooks: SyncHooks) {
    this.#phone = phone;
    this.#hooks = hooks;
    this.#round = new Round(phone, http, {
      ...hooks,
      asks: (state) => {
        this.#asks(state);
      },
      clockOff: (clock_off_seconds) => {
        this.say({ clock_off_seconds });
      },
    });
  }

  say(change: Partial<SyncState>): void {
    this.#state.update((before) => ({ ...before, ...change }));
  }

  count({ waiting, refused }: CommandLists): void {
    const oldest_pending_at = waiting[0]?.made_at ?? null;
    this.say({ pending: waiting.length, oldest_pending_at, refused: refused.length });
  }

  /** Says when all was last in step, as it stands on disk; `checked`: whether that was since the unlock. */
  async recall(checked: boolean): Promise<void> {
    const progress = await readMeta(this.#phone.db, "progress");
    this.say({ last_ok_at: progress?.last_ok_at ?? null, checked });
  }

  /** A round, or one more after that which runs. */
  run(): Promise<void> {
    return this.#rounds.run();
  }

  /** Something was made here. */
  soon(): void {
    this.#soonTimer ??= setTimeout(() => {
      this.#soonTimer = null;
      void this.run();
    }, SOON);
  }

  /** Somebody asks, or the connection is back: earlier failures say nothing about now. */
  afresh(): Promise<void> {
    this.#failures = 0;
    return this.run();
  }

  stop(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    this.#rounds.noMore();
  }

  async #try(): Promise<void> {
    this.stop();
    if (this.#hooks.credentials() === null) return;
    try {
      await this.#phone.alone(
        () => this.#inStep(),
        () => {
          this.say({ state: "other_tab", detail: null });
        },
      );
      this.#failures = 0;
      this.say({ state: "idle", detail: null });
      this.#later(USUAL_PAUSE);
    } catch (cause) {
      await this.#failed(cause);
    } finally {
      this.#quick();
    }
  }

  async #inStep(): Promise<void> {
    const { resend, last_ok_at } = await this.#round.run();
    // A server that loses what it has just been told is told again with the next round, not at once.
    if (resend && !this.#resent) void this.run();
    this.#resent = resend;
    await this.#hooks.inStep();
    this.say({ last_ok_at, checked: true });
  }

  #asks(state: "sending" | "fetching"): void {
    this.#quick();
    this.say({ state, detail: null });
    this.#slowTimer = setTimeout(() => {
      this.say({ slow: true });
    }, SLOW);
  }

  #quick(): void {
    if (this.#slowTimer !== null) clearTimeout(this.#slowTimer);
    this.#slowTimer = null;
    this.say({ slow: false });
  }

  async #failed(cause: unknown): Promise<void> {
    const code = faultOf(cause);
    if (code === "locked") {
      this.say({ state: "idle", detail: null });
      return;
    }
    if (code.startsWith("storage_") || code === "record_damaged") this.#phone.report(cause);
    if (code === "device_revoked") {
      const cut = await this.#shutOut();
      if (cut !== null) return this.#failed(cut);
    }
    if (FINAL.includes(code)) {
      this.say({ state: "stopped", detail: code });
      return;
    }
    this.say({ state: code === "no_connection" ? "offline" : "waiting", detail: code });
    this.#later(Math.min(LONGEST_RETRY, FIRST_RETRY * 2 ** this.#failures));
    this.#failures += 1;
  }

  /** What cut the line while the rest was handed in: the phone is wiped when that has come to an end. */
  async #shutOut(): Promise<HttpFault | null> {
    try {
      await this.#hooks.revoked();
    } catch (cause) {
      if (cause instanceof HttpFault) return cause;
      this.#phone.report(cause);
    }
    return null;
  }

  #later(milliseconds: number): void {
    this.#timer = setTimeout(() => void this.run(), milliseconds);
  }
}

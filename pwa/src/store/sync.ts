/**
 * When to push and pull, and what to say about it. One round is: push all, pull all, fetch the rulebook if
 * it is new. A round that fails is tried again later and later; one that was refused as a whole stops.
 */
import { type Readable, writable } from "svelte/store";

import { type Credentials, type Http, HttpFault } from "../wire/http";
import type { Command, PullReply, RulebookBody } from "../wire/types";
import type { FaultCode, SyncState } from "./api";
import { secondsAhead } from "./clock_off";
import { dropOldReceipts, type HeldCommand } from "./commands";
import { readMeta } from "./db";
import { Fault } from "./fault";
import type { Phone } from "./phone";
import { hasMoved, pull } from "./pull";
import { push } from "./push";
import { fetchRulebook } from "./rulebook";

export interface SyncHooks {
  credentials: () => Credentials | null;
  commandsChanged: () => Promise<void>;
  pageApplied: (page: PullReply) => void;
  rulebookChanged: (book: RulebookBody) => void;
  inStep: () => void;
  revoked: () => Promise<void>;
}

const USUAL_PAUSE = 60_000;
/** Without a word from the server for so long, the person is told that it is being tried still. */
const SLOW = 10_000;
/** What is made in quick succession travels together: no round for each. */
const SOON = 300;
const FIRST_RETRY = 2_000;
const LONGEST_RETRY = 300_000;
/** Only a person can mend these: signing in again, or a newer app. */
const FINAL: readonly FaultCode[] = [
  "not_signed_in",
  "device_revoked",
  "device_cloned",
  "app_out_of_date",
  "newer_app_open",
];

export class Sync {
  readonly #phone: Phone;
  readonly #http: Http;
  readonly #hooks: SyncHooks;
  readonly #state = writable<SyncState>({
    state: "idle",
    detail: null,
    pending: 0,
    oldest_pending_at: null,
    refused: 0,
    last_ok_at: null,
    checked: false,
    slow: false,
    clock_off_seconds: null,
    storage_kept: null,
    storage_nearly_full: false,
  });
  readonly state: Readable<SyncState> = { subscribe: this.#state.subscribe };
  #running: Promise<void> | null = null;
  #again = false;
  #failures = 0;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #slowTimer: ReturnType<typeof setTimeout> | null = null;
  #soonTimer: ReturnType<typeof setTimeout> | null = null;

  constructor(phone: Phone, http: Http, hooks: SyncHooks) {
    this.#phone = phone;
    this.#http = http;
    this.#hooks = hooks;
  }

  say(change: Partial<SyncState>): void {
    this.#state.update((before) => ({ ...before, ...change }));
  }

  count(waiting: readonly HeldCommand[], refused: number): void {
    const oldest_pending_at = waiting[0]?.made_at ?? null;
    this.say({ pending: waiting.length, oldest_pending_at, refused });
  }

  added(command: Pick<Command, "made_at">): void {
    this.#state.update((before) => ({
      ...before,
      pending: before.pending + 1,
      oldest_pending_at: before.oldest_pending_at ?? command.made_at,
    }));
  }

  /** Says when all was last in step, as it stands on disk; `checked`: whether that was since the unlock. */
  async recall(checked: boolean): Promise<void> {
    const progress = await readMeta(this.#phone.db, "progress");
    this.say({ last_ok_at: progress?.last_ok_at ?? null, checked });
  }

  /** One round at a time; a call during a round makes another one follow. */
  run(): Promise<void> {
    if (this.#running !== null) {
      this.#again = true;
      return this.#running;
    }
    this.#running = this.#rounds().finally(() => (this.#running = null));
    return this.#running;
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
    this.#again = false;
  }

  async #rounds(): Promise<void> {
    do await this.#round();
    while (this.#takeAgain());
  }

  #takeAgain(): boolean {
    const again = this.#again;
    this.#again = false;
    return again;
  }

  async #round(): Promise<void> {
    this.stop();
    if (this.#hooks.credentials() === null) return;
    try {
      await this.#phone.alone(
        () => this.#pushAndPull(),
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

  async #pushAndPull(): Promise<void> {
    // Read only now: the phone may have been locked while another tab was at it.
    const as = this.#hooks.credentials();
    if (as === null) throw new Fault("locked");
    if (await hasMoved(this.#phone)) await this.#pullFirst(as);
    this.#asks("sending");
    await push(this.#phone, this.#http, as, async () => {
      await this.#hooks.commandsChanged();
      this.#asks("sending");
    });
    await this.#pull(as);
    await this.#hooks.commandsChanged();
    const book = await fetchRulebook(this.#phone, this.#http, as);
    if (book !== null) this.#hooks.rulebookChanged(book);
    await dropOldReceipts(this.#phone);
    await this.recall(true);
    this.#hooks.inStep();
  }

  /** What waits may rest on work that a restored server has lost, which goes before it then. */
  async #pullFirst(as: Credentials): Promise<void> {
    try {
      await this.#pull(as);
    } catch (cause) {
      // An app that is too old to pull may push.
      if (faultOf(cause) !== "app_out_of_date") throw cause;
    }
  }

  async #pull(as: Credentials): Promise<void> {
    this.#asks("fetching");
    let asked = this.#phone.now();
    const { resend } = await pull(this.#phone, this.#http, as, (page) => {
      const answered = this.#phone.now();
      this.say({ clock_off_seconds: secondsAhead(page.now, asked, answered) });
      asked = answered;
      this.#hooks.pageApplied(page);
      this.#asks("fetching");
    });
    if (resend) this.#again = true;
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
    this.#again = false;
    const code = faultOf(cause);
    if (code === "locked") {
      this.say({ state: "idle", detail: null });
      return;
    }
    if (code.startsWith("storage_") || code === "record_damaged") this.#phone.report(cause);
    if (code === "device_revoked") await this.#hooks.revoked().catch(this.#phone.report);
    if (FINAL.includes(code)) {
      this.say({ state: "stopped", detail: code });
      return;
    }
    this.say({ state: code === "no_connection" ? "offline" : "waiting", detail: code });
    this.#later(Math.min(LONGEST_RETRY, FIRST_RETRY * 2 ** this.#failures));
    this.#failures += 1;
  }

  #later(milliseconds: number): void {
    this.#timer = setTimeout(() => void this.run(), milliseconds);
  }
}

const KNOWN: readonly FaultCode[] = [
  ...FINAL,
  "no_connection",
  "not_our_server",
  "server_out_of_date",
  "server_trouble",
];

/** The server's code where the app has a word for it; else by what kind of failure it was. */
export function faultOf(cause: unknown): FaultCode {
  if (cause instanceof Fault) return cause.code;
  if (!(cause instanceof HttpFault)) return "storage_broken";
  const known = KNOWN.find((code) => code === cause.code);
  if (known !== undefined) return known;
  if (cause.status === 429) return "too_many_tries";
  // Our server, and it does not understand this app as a whole.
  return cause.status >= 400 && cause.status < 500 ? "app_out_of_date" : "server_trouble";
}

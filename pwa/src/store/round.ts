/**
 * One round: push all, pull all. What need not be done every time is done in the first round after the app is
 * opened, and seldom from then on: asking for the rulebook, dropping old receipts.
 */
import type { Credentials, Http } from "../wire/http";
import type { Instant, PullReply, RulebookBody } from "../wire/types";
import { secondsAhead } from "./clock_off";
import { readMeta } from "./db";
import { Fault, faultOf } from "./fault";
import type { Phone } from "./phone";
import { type Applied, pull } from "./pull";
import { push, type PushHooks } from "./push";
import { dropOldReceipts } from "./receipts";
import { fetchRulebook } from "./rulebook";

export interface RoundHooks extends PushHooks {
  credentials: () => Credentials | null;
  pageApplied: (page: PullReply, done: Applied) => void;
  rulebookChanged: (book: RulebookBody) => void;
  /** The server is being asked now. */
  asks: (state: "sending" | "fetching") => void;
  clockOff: (seconds: number) => void;
}

const HOUR = 3_600_000;
const DAY = 24 * HOUR;

export class Round {
  readonly #phone: Phone;
  readonly #http: Http;
  readonly #hooks: RoundHooks;
  #rulebookAskedAt: Instant | null = null;
  #receiptsDroppedAt: Instant | null = null;
  #resend = false;
  #lastOkAt: Instant | null = null;
  /** By the server's clock. */
  #heardAt: Instant | null = null;

  constructor(phone: Phone, http: Http, hooks: RoundHooks) {
    this.#phone = phone;
    this.#http = http;
    this.#hooks = hooks;
  }

  /** `resend`: the server wants commands again that were settled, so another round should follow. */
  async run(): Promise<{ resend: boolean; last_ok_at: Instant | null }> {
    // Read only now: the phone may have been locked while another tab was at it.
    const as = this.#hooks.credentials();
    if (as === null) throw new Fault("locked");
    this.#resend = false;
    const progress = await readMeta(this.#phone.db, "progress");
    if (progress?.heard === null && (await this.#phone.db.count("settled")) > 0)
      await this.#pullFirst(as);
    this.#hooks.asks("sending");
    await push(this.#phone, this.#http, as, {
      ...this.#hooks,
      answered: (commands) => {
        this.#hooks.answered(commands);
        this.#hooks.asks("sending");
      },
    });
    await this.#pull(as);
    await this.#seldom(as);
    return { resend: this.#resend, last_ok_at: this.#lastOkAt };
  }

  /** What waits may rest on work of which nobody knows whether the server has it: that goes first then. */
  async #pullFirst(as: Credentials): Promise<void> {
    try {
      await this.#pull(as);
    } catch (cause) {
      // An app that is too old to pull may push.
      if (faultOf(cause) !== "app_out_of_date") throw cause;
    }
  }

  async #pull(as: Credentials): Promise<void> {
    this.#hooks.asks("fetching");
    let asked = this.#phone.now();
    await pull(this.#phone, this.#http, as, (page, done) => {
      const answered = this.#phone.now();
      this.#hooks.clockOff(secondsAhead(page.now, asked, answered));
      asked = answered;
      this.#heardAt = page.now;
      this.#resend ||= done.resend;
      // The practice may have rules of its own now. Asking costs little where it has not.
      if (page.rows.some(({ kind }) => kind === "practice")) this.#rulebookAskedAt = null;
      this.#lastOkAt = done.last_ok_at;
      this.#hooks.pageApplied(page, done);
      this.#hooks.asks("fetching");
    });
  }

  /** Times are the server's: the phone's own clock may be set to anything. */
  async #seldom(as: Credentials): Promise<void> {
    const now = this.#heardAt;
    if (now === null) return;
    if (this.#phone.rulebookVersion() === "" || isDue(this.#rulebookAskedAt, now, HOUR)) {
      const book = await fetchRulebook(this.#phone, this.#http, as);
      if (book !== null) this.#hooks.rulebookChanged(book);
      this.#rulebookAskedAt = now;
    }
    if (isDue(this.#receiptsDroppedAt, now, DAY)) {
      await dropOldReceipts(this.#phone, now);
      this.#receiptsDroppedAt = now;
    }
  }
}

function isDue(last: Instant | null, now: Instant, every: number): boolean {
  return last === null || Math.abs(Date.parse(now) - Date.parse(last)) >= every;
}

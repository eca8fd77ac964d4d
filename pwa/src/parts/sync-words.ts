/**
 * The sync state in words: one sentence that is always true, and what is to be warned of, the most urgent first.
 * Decides nothing; what the person can do is in the sentence.
 */
import type { SyncState } from "../store";
import { type MessageKey, t } from "../words";
import type { Values } from "../words/fill";
import { dayAndTime } from "../words/format";
import type { AppKept } from "./app-kept";

type Key = "fault" | "room" | "lease" | "clock" | "refused" | "unkept" | "app";

export interface Warning {
  key: Key;
  /** For the strip on top of every screen. */
  short: string;
  text: string;
}

type Words = Omit<Warning, "key"> | null;

/** Seconds for which records stay open without a word from the practice: what is left of them, and all. */
export interface LeaseTime {
  left: number;
  whole: number;
}

const MINUTE = 60;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;
/** Below this a clock that is off changes nothing that a person would see. */
const CLOCK_OFF_FROM = 5 * MINUTE;
const LEASE_WARNED_FROM = 3 * DAY;

export function syncWords(sync: SyncState): string {
  const { state, pending, detail } = sync;
  if (state === "stopped") return detail ? t(`fault.${detail}`) : t("sync.stopped");
  if (state === "sending" || state === "fetching") return askingWords(sync);
  if (state === "other_tab") return t("sync.other_tab");
  if (pending > 0) return t("sync.pending", { count: pending });
  if (state === "offline") return t("sync.offline");
  if (sync.photos_pending > 0) return t("sync.photos", { count: sync.photos_pending });
  return state === "idle" && sync.checked ? t("sync.all_sent") : lastWords(sync);
}

function askingWords({ state, pending, slow }: SyncState): string {
  if (slow) return pending > 0 ? t("sync.slow_sending", { count: pending }) : t("sync.slow");
  return state === "sending" && pending > 0
    ? t("sync.sending", { count: pending })
    : t("sync.fetching");
}

function lastWords({ last_ok_at }: SyncState): string {
  return last_ok_at === null
    ? t("sync.not_checked")
    : t("sync.in_step", { at: dayAndTime(last_ok_at) });
}

export function syncWarnings(sync: SyncState, lease: LeaseTime | null, app: AppKept): Warning[] {
  const found: Record<Key, Words> = {
    fault: blockedWords(sync),
    room: sync.storage_nearly_full ? both("room") : null,
    lease: leaseWords(lease),
    clock: clockWords(sync.clock_off_seconds),
    refused: refusedWords(sync),
    unkept: unkeptWords(sync),
    app: appWords(app),
  };
  return URGENCY.flatMap((key) => (found[key] === null ? [] : [{ key, ...found[key] }]));
}

const URGENCY: readonly Key[] = ["fault", "room", "lease", "clock", "refused", "unkept", "app"];

/** Why it waits, where that is more than a missing connection; the phone's own trouble has its own place. */
function blockedWords({ state, detail }: SyncState): Words {
  if (state !== "waiting" || detail === null || detail.startsWith("storage_")) return null;
  const short = detail === "not_our_server" ? "short.portal" : "short.waits";
  return { short: t(short), text: t(`fault.${detail}`) };
}

/** Of a short lease only the last third: a phone that was heard today is not warned. */
function leaseWords(lease: LeaseTime | null): Words {
  if (lease === null) return null;
  const { left, whole } = lease;
  if (left > Math.min(LEASE_WARNED_FROM, whole / 3)) return null;
  return left > 0 ? both("lease_ends", { span: span(left) }) : both("lease_over");
}

function clockWords(off: number | null): Words {
  if (off === null || Math.abs(off) < CLOCK_OFF_FROM) return null;
  return both(off > 0 ? "clock_ahead" : "clock_behind", { span: span(Math.abs(off)) });
}

function refusedWords({ refused }: SyncState): Words {
  const words = t("attention.refused", { count: refused });
  return refused > 0 ? { short: words, text: words } : null;
}

function unkeptWords({ storage_kept, pending, oldest_pending_at }: SyncState): Words {
  if (storage_kept !== false || pending === 0 || oldest_pending_at === null) return null;
  return both("unkept", { count: pending, at: dayAndTime(oldest_pending_at) });
}

type Said =
  | "room"
  | "lease_ends"
  | "lease_over"
  | "clock_ahead"
  | "clock_behind"
  | "unkept"
  | "app"
  | "app_never";

function appWords(app: AppKept): Words {
  return app === "yes" ? null : both(app === "never" ? "app_never" : "app");
}

function both(what: Said, values: Values = {}): Words {
  return { short: t(`short.${what}`, values), text: t(`warning.${what}`, values) };
}

const SPANS: readonly [number, MessageKey][] = [
  [DAY, "span.days"],
  [HOUR, "span.hours"],
  [MINUTE, "span.minutes"],
];

/** In the largest unit of which there are two, so that the rounding never misleads; else in minutes. */
function span(seconds: number): string {
  const [unit, key] = SPANS.find(([size]) => seconds >= 1.5 * size) ?? [MINUTE, "span.minutes"];
  return t(key, { count: Math.round(seconds / unit) });
}

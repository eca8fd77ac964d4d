/** Whether one cycle did what it must. The twin is kit/rules/loads.py; both run tests/parity/kit.json. */
import type { Instant } from "../../wire/types";

export const LEVELS = ["disinfect", "sterilise"] as const;
export type Level = (typeof LEVELS)[number];
export type Indicator = "passed" | "failed" | "not_read";
export type LoadState = "running" | "complete" | "again";

/** What a clock that was put right in mid-cycle, or a slow tap, may take from it. */
const SLACK_MINUTES = 1 / 60;
/** A start that was told by a tap is told in the same minute. */
const LATE_MINUTES = 1;

/** What a cycle must reach; what it cleans then keeps for `storage_days`. */
export interface Asked {
  level: Level;
  minutes: number;
  celsius: number | null;
  indicator: boolean;
  storage_days: number;
}

/** How somebody says that it ended. `held_minutes` and `celsius` are what the machine showed. */
export interface End {
  id: string;
  ran_minutes: number;
  held_minutes: number | null;
  celsius: number | null;
  indicator: Indicator;
  interrupted: boolean;
}

/** `asked` is null where the process is not known; `faults` were there when it began. */
export interface Load {
  asked: Asked | null;
  faults: readonly string[];
  ends: readonly End[];
  pulled_back: boolean;
}

export interface Outcome {
  state: LoadState;
  reasons: readonly string[];
}

/**
 * How long a cycle ran at least. `heard_at` is when the server heard of its start, where another phone ended it:
 * the clocks of two phones are not compared.
 */
export function ranMinutes(
  started_at: Instant,
  ended_at: Instant,
  heard_at: Instant | null,
): number {
  const begun = Date.parse(started_at);
  const start = heard_at === null ? begun : Math.max(begun, Date.parse(heard_at));
  return Math.max(0, (Date.parse(ended_at) - start) / 60_000);
}

/** Whether somebody said of a cycle afterwards that it had begun; `told_at` is null where that is not on record. */
export function toldLate(started_at: Instant, told_at: Instant | null): boolean {
  return told_at !== null && Date.parse(told_at) - Date.parse(started_at) > LATE_MINUTES * 60_000;
}

/** One with a fault starts again, whatever else is said of it: of two ends the worse counts. */
export function outcome(load: Load): Outcome {
  const reasons = new Set(load.faults);
  const asked = load.asked;
  if (asked === null) reasons.add("process_unknown");
  else for (const end of load.ends) for (const reason of faults(asked, end)) reasons.add(reason);
  if (load.pulled_back) reasons.add("pulled_back");
  if (reasons.size > 0) return { state: "again", reasons: [...reasons] };
  return { state: load.ends.length > 0 ? "complete" : "running", reasons: [] };
}

function faults(asked: Asked, end: End): string[] {
  const heated = asked.celsius !== null;
  const held = heated ? end.held_minutes : end.ran_minutes;
  const least = asked.minutes - SLACK_MINUTES;
  const found: [string, boolean][] = [
    ["interrupted", end.interrupted],
    ["time_not_read", held === null],
    ["too_short", end.ran_minutes < least || (held !== null && held < least)],
    ["heat_not_read", heated && end.celsius === null],
    ["too_cool", asked.celsius !== null && end.celsius !== null && end.celsius < asked.celsius],
    ["indicator_failed", end.indicator === "failed"],
    ["indicator_not_read", asked.indicator && end.indicator === "not_read"],
  ];
  return found.filter(([, so]) => so).map(([reason]) => reason);
}

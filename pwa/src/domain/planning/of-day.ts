/** A day's booked visits as a problem for the exact method, and what its answer changes. Moments are epoch seconds. */
import type { Id } from "../../wire/types";
import { type Drive, estimate } from "../places/estimate";
import type { Point } from "../places/position";
import type { Travel } from "../screening/book";
import { best } from "./exact";
import type { Period } from "./periods";
import type { Plan, PlanBreak, PlanDay } from "./problem";

export interface DayStop {
  booking: Id;
  at: Point;
  starts: number;
  minutes: number;
  /** The whole visit lies in one of them. */
  free: readonly Period[];
  /** Its time stays. */
  locked: boolean;
}

export interface Outset {
  /** Nothing of the rest of the day is before. */
  begins: number;
  /** Where it begins, at the first visit where that is null, and when it was or is left at the earliest. */
  from: Point | null;
  leaves: number;
  /** Where it ends; the last visit where it is null. */
  to: Point | null;
  /** By when it is over at the latest. */
  ends: number;
  breaks: readonly PlanBreak[];
}

export interface Proposal {
  plan: Plan;
  now: Drive;
  then: Drive;
  /** Those whose time changes, by their place among the stops. */
  moved: { stop: number; starts: number }[];
}

/** Visits that move begin on whole five minutes. */
export const GRID_S = 300;

/** The stops in the order in which they are booked. */
export function propose(stops: readonly DayStop[], outset: Outset, travel: Travel): Proposal {
  const plan = best(problemOf(stops, outset, travel));
  const order = plan.visits.map(({ stop }) => stop);
  const booked = stops.map((_, stop) => stop);
  return {
    plan,
    now: driven(stops, outset, travel, booked),
    then: driven(stops, outset, travel, order),
    moved: plan.visits
      .filter(({ stop, begins }) => stops[stop]?.starts !== begins)
      .map(({ stop, begins }) => ({ stop, starts: begins })),
  };
}

/** Nobody is asked to be ready before the first of them was. */
export function problemOf(
  stops: readonly DayStop[],
  { begins, from, leaves, to, ends, breaks }: Outset,
  travel: Travel,
): PlanDay {
  const earliest = Math.max(begins, Math.min(...stops.map(({ starts }) => starts)));
  return {
    begins: from === null ? earliest : leaves,
    ends,
    stops: stops.map((stop) => ({
      seconds: stop.minutes * 60,
      windows: stop.locked ? [[stop.starts, stop.starts]] : beginnings(stop, earliest),
    })),
    drives: stops.map(({ at }) => stops.map((other) => estimate(at, other.at, travel).seconds)),
    first: stops.map(({ at }) => (from === null ? 0 : estimate(from, at, travel).seconds)),
    last: stops.map(({ at }) => (to === null ? 0 : estimate(at, to, travel).seconds)),
    // One whose time is past was taken, or was not.
    breaks: breaks.filter(({ latest }) => latest >= begins),
    grid: GRID_S,
  };
}

function beginnings({ minutes, free }: DayStop, earliest: number): Period[] {
  return free
    .map(([from, to]): Period => [Math.max(from, earliest), to - minutes * 60])
    .filter(([first, last]) => first <= last);
}

function driven(
  stops: readonly DayStop[],
  { from, to }: Outset,
  travel: Travel,
  order: readonly number[],
): Drive {
  let at = from;
  const whole = { metres: 0, seconds: 0 };
  for (const next of [...order.map((stop) => stops[stop]?.at ?? null), to]) {
    if (at && next) {
      const { metres, seconds } = estimate(at, next, travel);
      whole.metres += metres;
      whole.seconds += seconds;
    }
    at = next;
  }
  return whole;
}

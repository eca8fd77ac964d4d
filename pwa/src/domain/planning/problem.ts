/**
 * A technician's day as a problem, and the plan that answers it. The twin of the server's `planning/rules/problem.py`.
 * All times are seconds from one beginning, the same for the whole day: a day with a clock change is as long as it is.
 */

export interface PlanStop {
  seconds: number;
  /** The earliest and latest times at which the work may begin, in order; one moment is a fixed time. */
  windows: readonly (readonly [number, number])[];
}

/** Begins in its window, between stops. A day that is over by `latest` needs none. */
export interface PlanBreak {
  earliest: number;
  latest: number;
  seconds: number;
}

/** Null where there is no way. */
export type Way = number | null;

export interface PlanDay {
  begins: number;
  ends: number;
  stops: readonly PlanStop[];
  drives: readonly (readonly Way[])[];
  /** From the start of the day to each stop, and from each to its end; 0 where the day starts or ends at a stop. */
  first: readonly Way[];
  last: readonly Way[];
  breaks: readonly PlanBreak[];
  /** Where a stop begins later than it could have at the earliest, it begins on a multiple of this. */
  grid: number;
}

export type LeftWhy = "outside_hours" | "too_far" | "break_in_the_way" | "no_room";

export interface PlanVisit {
  stop: number;
  arrives: number;
  begins: number;
}

export interface Plan {
  driving: number;
  /** The arrival at the end of the day. */
  end: number;
  visits: PlanVisit[];
  /** When each begins that is taken. */
  breaks: number[];
  left: { stop: number; reason: LeftWhy }[];
}

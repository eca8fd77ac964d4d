/**
 * What the next visit is for and how long it will take. The twin is `schedule/rules/lengths.py`; both run
 * tests/parity/lengths.json and usual_visits.json.
 * By what the last ones took: of up to five, the middle one, rounded up to five minutes; of an even number, the mean of
 * the two in the middle. One visit alone says little, so that fewer than two leave it to the book. Common practice, no
 * source.
 */
import type { Service } from "../screening/book";

const [FEWEST, MOST] = [2, 5];
const STEP = 5;
const [SHORTEST, LONGEST] = [5, 480];

export interface Length {
  minutes: number;
  /** How many visits say so; 0 where the book does. */
  visits: number;
}

export interface PastVisit {
  /** Empty where its booking named none. */
  service: string;
  /** Null where it was not made whole. */
  minutes: number | null;
}

/** What the last visit was booked for; else, by the book, what a new client is or any other. `past` the newest first. */
export function usualService<S extends Service>(
  past: readonly PastVisit[],
  services: readonly S[],
): S | undefined {
  const again = services.find(({ id, for_new }) => id === past[0]?.service && !for_new);
  return again ?? services.find(({ for_new }) => for_new === (past.length === 0)) ?? services[0];
}

/** Visits of before there were services count for any, but for a first one. */
export function usualLength(past: readonly PastVisit[], { id, minutes, for_new }: Service): Length {
  const own = past.filter(({ service }) => service === id || (service === "" && !for_new));
  return proposedLength(
    minutes,
    own.flatMap((each) => each.minutes ?? []),
  );
}

/** `took` are the whole minutes of the client's visits for this, the newest first. */
export function proposedLength(byTheBook: number, took: readonly number[]): Length {
  const last = took.slice(0, MOST).toSorted((a, b) => a - b);
  if (last.length < FEWEST) return { minutes: byTheBook, visits: 0 };
  const steps = Math.ceil(median(last) / STEP);
  return { minutes: Math.min(Math.max(steps * STEP, SHORTEST), LONGEST), visits: last.length };
}

function median(sorted: readonly number[]): number {
  const half = sorted.length / 2;
  const middle = sorted.slice(Math.ceil(half) - 1, Math.floor(half) + 1);
  return middle.reduce((sum, each) => sum + each, 0) / middle.length;
}

/**
 * How long a visit will take. The twin is `schedule/rules/lengths.py`; both run tests/parity/lengths.json.
 * By what the last ones took: of up to five, the middle one, rounded up to five minutes; of an even number, the mean of
 * the two in the middle. One visit alone says little, so that fewer than two leave it to the book. Common practice, no
 * source.
 */
const [FEWEST, MOST] = [2, 5];
const STEP = 5;
const [SHORTEST, LONGEST] = [5, 480];

export interface Length {
  minutes: number;
  /** How many visits say so; 0 where the book does. */
  visits: number;
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

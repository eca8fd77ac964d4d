import type { Day, LogDays } from "../wire/types";

const DAY_MS = 24 * 60 * 60 * 1000;

/** So many days, of which this is the last. */
export function lastDays(to: Day, count: number): LogDays {
  const first = new Date(Date.parse(to) - (count - 1) * DAY_MS);
  return { from: first.toISOString().slice(0, 10), to };
}

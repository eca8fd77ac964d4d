/**
 * Rows in the order of a time of theirs. Times do not sort as text: the server leaves out a fraction that is zero, so
 * that 12:00:00Z would come after 12:00:00.5Z.
 */
import type { Instant } from "../wire/types";

export function byTime<H>(when: (held: H) => Instant) {
  return (a: H, b: H) => Date.parse(when(a)) - Date.parse(when(b));
}

export function latestFirst<H>(when: (held: H) => Instant) {
  const order = byTime(when);
  return (a: H, b: H) => order(b, a);
}

export function newest<H>(held: readonly H[], when: (held: H) => Instant): H | null {
  return held.toSorted(byTime(when)).at(-1) ?? null;
}

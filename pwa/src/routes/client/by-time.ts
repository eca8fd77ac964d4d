/** Rows in order of a time of theirs. */
export function byTime<H>(when: (held: H) => string) {
  return (a: H, b: H) => Date.parse(when(a)) - Date.parse(when(b));
}

export function newest<H>(held: readonly H[], when: (held: H) => string): H | null {
  return held.toSorted(byTime(when)).at(-1) ?? null;
}

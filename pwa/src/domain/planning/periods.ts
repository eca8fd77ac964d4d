/** Spans of time in order, from and to: what is in both of two lists, and what is left without some. */
export type Period = readonly [from: number, to: number];

export function inBoth(some: readonly Period[], others: readonly Period[]): Period[] {
  return some.flatMap(([from, to]) =>
    others
      .map(([starts, ends]): Period => [Math.max(from, starts), Math.min(to, ends)])
      .filter(([starts, ends]) => starts < ends),
  );
}

export function without(some: readonly Period[], taken: readonly Period[]): Period[] {
  return taken.reduce<Period[]>(
    (left, [starts, ends]) =>
      left.flatMap(([from, to]): Period[] => [
        ...(from < Math.min(to, starts) ? [[from, Math.min(to, starts)] as const] : []),
        ...(Math.max(from, ends) < to ? [[Math.max(from, ends), to] as const] : []),
      ]),
    [...some],
  );
}

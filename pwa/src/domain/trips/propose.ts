/** The ways of a day, proposed from its stops in their order: from home to each and home again. */
import { estimate } from "../places/estimate";
import type { Point } from "../places/position";
import type { Travel as Roads } from "../screening/book";
import type { Purpose } from "./travel";

export interface Stop {
  label: string;
  position: Point | null;
  purpose: Purpose;
}

export interface Way {
  start: string;
  end: string;
  purpose: Purpose;
  /** Null where one of its ends is not known. */
  estimated_m: number | null;
}

/** Stops one after another at one place are one. Whether the ways from and to home are for work, a person says. */
export function waysOf(home: Omit<Stop, "purpose">, stops: readonly Stop[], roads: Roads | null) {
  const places = stops.filter((stop, n) => n === 0 || stop.label !== stops[n - 1]?.label);
  const last = places.at(-1);
  if (last === undefined) return [];
  const back = { ...home, purpose: last.purpose };
  const ends = [...places, back];
  return ends.map((end, n): Way => {
    const start = n === 0 ? home : (ends[n - 1] ?? home);
    const [from, to] = [start.position, end.position];
    const estimated_m = roads && from && to ? estimate(from, to, roads).metres : null;
    return { start: start.label, end: end.label, purpose: end.purpose, estimated_m };
  });
}

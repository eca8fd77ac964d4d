/**
 * A day of travel, and which of those told still stand. Distances are in tenths of the vehicle's own unit, as an
 * odometer shows them. The twin is trips/rules/travel.py.
 */
import type { DistanceUnit, VehicleKind } from "../screening/book";

export const PURPOSES = [
  "client",
  "facility",
  "supplies",
  "training",
  "meeting",
  "other",
  "commute",
  "private",
] as const;
export type Purpose = (typeof PURPOSES)[number];
/** How a distance is known. An estimate was driven by nobody, and is never claimed. */
export type Known = "odometer" | "mapped" | "typed" | "estimate";

export interface Leg {
  purpose: Purpose;
  /** null where nobody has said how far it was. */
  tenths: number | null;
  known: Known;
}

/** `replaces` are earlier ones that this one corrects; the odometer's, what it showed before the first way and after the last. */
export interface Travel {
  id: string;
  staff: string;
  vehicle: string;
  kind: VehicleKind;
  unit: DistanceUnit;
  day: string;
  legs: readonly Leg[];
  replaces: readonly string[];
  odometer_start: number | null;
  odometer_end: number | null;
}

/** A mile is 1609.344 m. */
const METRES_IN_1000: Record<DistanceUnit, number> = { mile: 1_609_344, km: 1_000_000 };

export function isWork(leg: Leg): boolean {
  return leg.purpose !== "commute" && leg.purpose !== "private";
}

export function isDriven(leg: Leg): boolean {
  return leg.known !== "estimate" && leg.tenths !== null;
}

/** Rounded to tenths, a half up. */
export function inUnit(tenths: number, have: DistanceUnit, want: DistanceUnit): number {
  if (have === want) return tenths;
  const [times, per] = [METRES_IN_1000[have], METRES_IN_1000[want]];
  return Math.floor((2 * tenths * times + per) / (2 * per));
}

/** Those that no other one replaces, in the order of days. */
export function standing<T extends Travel>(told: readonly T[]): T[] {
  const gone = new Set(told.flatMap(({ replaces }) => replaces));
  const left = told.filter(({ id }) => !gone.has(id));
  const at = ({ day, id }: T) => `${day} ${id}`;
  return left.sort((a, b) => (at(a) < at(b) ? -1 : 1));
}

/** Those that tell of one day and vehicle beside each other: a person must say which is right. */
export function twice(stand: readonly Travel[]): Set<string> {
  const told = new Map<string, string[]>();
  for (const { id, vehicle, day } of stand) {
    const key = `${vehicle} ${day}`;
    told.set(key, [...(told.get(key) ?? []), id]);
  }
  return new Set([...told.values()].filter((ids) => ids.length > 1).flat());
}

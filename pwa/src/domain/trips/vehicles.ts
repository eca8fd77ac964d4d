/**
 * How far each vehicle went in each tax year, for work and otherwise: what a tax office asks of a vehicle beside the
 * claim. The twin is trips/rules/vehicles.py; both run tests/parity/miles.json.
 */
import type { Tax } from "../screening/book";
import { yearOf } from "./claim";
import { isDriven, isWork, type Leg, standing, type Travel, twice } from "./travel";

/**
 * In tenths of the vehicle's own unit. `open` is for work and not to be counted: an estimate, or of a day that stands
 * twice. `first` and `last` are what the odometer showed at the first and the last of the days on which it was read,
 * `untold` what it counted beyond all ways that were told; null where it was not read.
 */
export interface VehicleYear {
  work: number;
  commute: number;
  private: number;
  open: number;
  first: number | null;
  last: number | null;
  untold: number | null;
}

/** By the first day of the tax year, then by vehicle. */
export function byVehicle(
  told: readonly Travel[],
  tax: Tax,
): Map<string, Map<string, VehicleYear>> {
  const stand = standing(told);
  const doubled = twice(stand);
  const years = new Map<string, Map<string, VehicleYear>>();
  for (const travel of stand) {
    const year = vehicleIn(years, yearOf(travel.day, tax), travel.vehicle);
    for (const reading of [travel.odometer_start, travel.odometer_end]) {
      if (reading === null) continue;
      year.first ??= reading;
      year.last = reading;
    }
    for (const leg of travel.legs) year[kindOf(leg, doubled.has(travel.id))] += leg.tenths ?? 0;
    year.untold = untold(year);
  }
  return years;
}

function vehicleIn(
  years: Map<string, Map<string, VehicleYear>>,
  start: string,
  vehicle: string,
): VehicleYear {
  const vehicles = years.get(start) ?? new Map<string, VehicleYear>();
  years.set(start, vehicles);
  const none = { work: 0, commute: 0, private: 0, open: 0, first: null, last: null, untold: null };
  const year = vehicles.get(vehicle) ?? none;
  vehicles.set(vehicle, year);
  return year;
}

function kindOf(leg: Leg, doubled: boolean): "work" | "commute" | "private" | "open" {
  if (doubled || (isWork(leg) && !isDriven(leg))) return "open";
  return leg.purpose === "commute" || leg.purpose === "private" ? leg.purpose : "work";
}

function untold({ work, commute, private: own, open, first, last }: VehicleYear): number | null {
  return first === null || last === null
    ? null
    : Math.max(0, last - first - work - commute - own - open);
}

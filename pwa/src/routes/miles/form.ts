/** The form of a day of travel: filled in by what is proposed or was told, then as the command takes it. */
import type { CommandArgs } from "../../domain/commands";
import type { RowOf } from "../../domain/rows";
import type { DistanceUnit, VehicleKind } from "../../domain/screening/book";
import type { Way } from "../../domain/trips/propose";
import { shareOut } from "../../domain/trips/share-out";
import type { Known, Purpose } from "../../domain/trips/travel";

type Told = CommandArgs["record_travel"];

/** Distances in whole units with one decimal, as people read them off. */
export interface LegForm {
  start: string;
  end: string;
  purpose: Purpose;
  words: string;
  estimated_m: number | null;
  distance: number | null;
  known: Known;
}

/** `replaces` are those that it corrects; null until somebody has chosen a vehicle. */
export interface DayForm {
  vehicle: string;
  odometer_start: number | null;
  odometer_end: number | null;
  legs: LegForm[];
  note: string;
  replaces: string[] | null;
}

/**
 * `seen` is the version that it began from; null for a new one, and until the card is read. `again` has what was typed
 * into a change that was refused.
 */
export interface VehicleForm {
  kind: VehicleKind | "";
  unit: DistanceUnit | "";
  name: string;
  plate: string;
  given_up: boolean;
  seen: number | null;
  again: Partial<VehicleForm> | null;
}

const TENTH_M: Record<DistanceUnit, number> = { mile: 160.9344, km: 100 };

export function blankVehicle(): VehicleForm {
  return { kind: "", unit: "", name: "", plate: "", given_up: false, seen: null, again: null };
}

export function blankDay(): DayForm {
  const odometer = { odometer_start: null, odometer_end: null };
  return { vehicle: "", ...odometer, legs: [], note: "", replaces: null };
}

export function blankLeg(purpose: Purpose): LegForm {
  const far = { estimated_m: null, distance: null, known: "typed" as const };
  return { start: "", end: "", purpose, words: "", ...far };
}

/** Of a way that was guessed, the guess stands there until somebody says what they drove. */
export function proposed(ways: readonly Way[], unit: DistanceUnit): LegForm[] {
  return ways.map((way) => {
    const tenths = way.estimated_m === null ? null : inTenths(way.estimated_m, unit);
    return {
      ...way,
      words: "",
      distance: whole(tenths),
      known: tenths === null ? "typed" : "estimate",
    };
  });
}

/** Of a day that was told, or told twice: all of them are replaced by what is saved. */
export function formOf(told: readonly { id: string; row: RowOf<"travel_day"> }[]): DayForm {
  const [first] = told;
  if (first === undefined) return blankDay();
  return dayOf({ ...first.row, replaces: told.map(({ id }) => id) });
}

export function dayOf(told: Omit<Told, "travel" | "day">): DayForm {
  const { vehicle, odometer_start, odometer_end, legs, note, replaces } = told;
  return {
    vehicle,
    odometer_start: whole(odometer_start),
    odometer_end: whole(odometer_end),
    legs: legs.map(({ tenths, ...leg }) => ({ ...leg, distance: whole(tenths) })),
    note,
    replaces,
  };
}

export function toldOf(form: DayForm, travel: string, day: string): Told {
  return {
    travel,
    vehicle: form.vehicle,
    day,
    odometer_start: tenths(form.odometer_start),
    odometer_end: tenths(form.odometer_end),
    legs: form.legs.map(({ distance, ...leg }) => ({ ...leg, tenths: tenths(distance) })),
    note: form.note.trim(),
    replaces: form.replaces ?? [],
  };
}

/** By how much the odometer went on, in tenths; null where a reading is missing or it runs back. */
export function ranOn({ odometer_start, odometer_end }: DayForm): number | null {
  const [start, end] = [tenths(odometer_start), tenths(odometer_end)];
  return start === null || end === null || end < start ? null : end - start;
}

export function runsBack({ odometer_start, odometer_end }: DayForm): boolean {
  return odometer_start !== null && odometer_end !== null && odometer_end < odometer_start;
}

/** Whether it shows less than it did before, in tenths: a slip, or another odometer. */
export function isLess({ odometer_start }: DayForm, before: number | null): boolean {
  return odometer_start !== null && before !== null && (tenths(odometer_start) ?? 0) < before;
}

/** What the odometer has and no way tells, in tenths; less than none where the ways are longer. */
export function notTold(form: DayForm): number | null {
  const ran = ranOn(form);
  const told = form.legs.reduce((sum, leg) => sum + (tenths(leg.distance) ?? 0), 0);
  return ran === null ? null : ran - told;
}

/** The odometer's distance shared out over the ways, by how long each was thought to be. */
export function sharedOut(form: DayForm): LegForm[] {
  const ran = ranOn(form);
  if (ran === null) return form.legs;
  const parts = shareOut(
    ran,
    form.legs.map((leg) => tenths(leg.distance) ?? 0),
  );
  return form.legs.map((leg, n) => ({ ...leg, distance: whole(parts[n] ?? 0), known: "odometer" }));
}

export function restAsPrivate(form: DayForm): LegForm[] {
  const rest = notTold(form) ?? 0;
  return [...form.legs, { ...blankLeg("private"), distance: whole(rest), known: "odometer" }];
}

export function inTenths(metres: number, unit: DistanceUnit): number {
  return Math.round(metres / TENTH_M[unit]);
}

function tenths(distance: number | null): number | null {
  return distance === null ? null : Math.round(distance * 10);
}

function whole(inTenths: number | null): number | null {
  return inTenths === null ? null : inTenths / 10;
}

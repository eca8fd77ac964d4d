/**
 * Which limits the record of a visit goes past. It blocks nothing: what was done is reported, and the owner
 * looks at it. The twin is visits/rules.py; both run tests/parity/breaches.json.
 */
import type { BitUse, CrackMeasure, SoftenerUse } from "./commands";
import type { Bit, MergedLimits } from "./screening";
import { surface_speed_m_s } from "./speed";

export type BitBreach = "bit_not_allowed" | "too_fast" | "bit_in_crack" | "area_to_leave_alone";
export type SoftenerBreach =
  | "softener_not_allowed"
  | "softener_too_strong"
  | "area_to_leave_alone"
  | "softener_not_taken_off"
  | "softener_too_long";
export type Breach = BitBreach | SoftenerBreach | "not_finished_smooth";

/** What is asked of the book's bits. */
export type KnownBit = Pick<Bit, "id" | "cutting" | "pointed" | "finish_with">;

interface Used {
  bits: readonly BitUse[];
  softeners: readonly SoftenerUse[];
  cracks?: readonly CrackMeasure[];
}

export const IN_CRACK = "crack";
const MINUTE_MS = 60_000;

export function breaches(limits: MergedLimits, bits: readonly KnownBit[], used: Used): Breach[] {
  return [
    ...used.bits.flatMap((use) => bitBreaches(limits, bits, use)),
    ...finish(bits, used.bits),
    ...softeners(limits, used.softeners),
    ...cracks(limits, used.cracks ?? []),
  ];
}

export function bitBreaches(
  limits: MergedLimits,
  bits: readonly KnownBit[],
  use: BitUse,
): BitBreach[] {
  const bit = known(bits, use.family);
  const allowed = limits.bits_allowed?.includes(use.family) ?? true;
  const inCrack = use.places.includes(IN_CRACK);
  const found: BitBreach[] = [];
  if (!bit || !allowed) found.push("bit_not_allowed");
  if (tooFast(limits, use)) found.push("too_fast");
  if (inCrack && (bit?.pointed === true || limits.no_bit_in_crack)) found.push("bit_in_crack");
  if (use.places.some((place) => leftAlone(limits, place))) found.push("area_to_leave_alone");
  return found;
}

export function softenerBreaches(limits: MergedLimits, use: SoftenerUse): SoftenerBreach[] {
  if (limits.softener === "none") return ["softener_not_allowed"];
  const { softener_max_percent: strongest, softener_max_minutes: longest } = limits;
  const minutes = minutesOn(use);
  const found: SoftenerBreach[] = [];
  if (strongest !== null && use.urea_percent > strongest) found.push("softener_too_strong");
  if (use.places.some((place) => leftAlone(limits, place))) found.push("area_to_leave_alone");
  if (longest !== null && minutes === null) found.push("softener_not_taken_off");
  else if (longest !== null && (minutes ?? 0) > longest) found.push("softener_too_long");
  return found;
}

/** That none may be used is told once, however often one was. */
function softeners(limits: MergedLimits, used: readonly SoftenerUse[]): SoftenerBreach[] {
  const told = limits.softener === "none" ? used.slice(0, 1) : used;
  return told.flatMap((use) => softenerBreaches(limits, use));
}

/** After any cutting bit the surface is finished with an abrasive one. Common practice, no source. */
function finish(bits: readonly KnownBit[], used: readonly BitUse[]): Breach[] {
  const last = used.findLastIndex(({ family }) => known(bits, family)?.cutting);
  if (last === -1) return [];
  const smooth = known(bits, used[last]?.family ?? "")?.finish_with ?? [];
  const after = used.slice(last + 1);
  return after.some(({ family }) => smooth.includes(family)) ? [] : ["not_finished_smooth"];
}

function tooFast(limits: MergedLimits, use: BitUse): boolean {
  const most = limits.max_rpm[use.family];
  if (most !== undefined && use.rpm > most) return true;
  if (limits.top_speed_m_s === null || use.rpm === 0) return false;
  return surface_speed_m_s(use.head_mm, use.rpm) > limits.top_speed_m_s;
}

/** Null where nobody can tell when it came off. */
function minutesOn({ placed_at, removed_at }: SoftenerUse): number | null {
  if (removed_at === null) return null;
  const minutes = (Date.parse(removed_at) - Date.parse(placed_at)) / MINUTE_MS;
  return minutes >= 0 ? minutes : null;
}

/** A crack that was measured again after the work was worked on. */
function cracks(limits: MergedLimits, measured: readonly CrackMeasure[]): Breach[] {
  const after = measured.filter(
    ({ length_after_mm, depth_after_mm }) => length_after_mm !== null || depth_after_mm !== null,
  );
  const feet = after.map(({ foot }) => foot);
  return feet.some((foot) => leftAlone(limits, foot)) ? ["area_to_leave_alone"] : [];
}

/**
 * A place on a foot begins with the foot's side. One that names no foot, such as a crack, tells nothing of a
 * foot that is left alone as a whole.
 */
export function leftAlone(limits: Pick<MergedLimits, "leave_alone">, place: string): boolean {
  const foot = `${place.split("_")[0] ?? ""}_foot`;
  return limits.leave_alone.includes(place) || limits.leave_alone.includes(foot);
}

function known(bits: readonly KnownBit[], family: string): KnownBit | undefined {
  return bits.find(({ id }) => id === family);
}

/** Which clearances hold, and what they leave of the limits. `intake/clearances.py` decides alike. */
import type { Day, Instant } from "../wire/types";
import { daysBetween } from "./due";
import { merge, type MergedLimits } from "./screening";

/** What a clinician narrows. What is left out is not narrowed. */
export type ClearanceLimits = Partial<
  Pick<MergedLimits, "bits_allowed" | "max_rpm" | "softener" | "leave_alone">
>;

export interface ClearanceFact {
  given_on: Day;
  expires_on: Day;
  covers: readonly string[];
  withdrawn_at: Instant | null;
}

/** Those that hold at a moment; `day` is its date in the practice's zone. */
export function inForce<C extends Omit<ClearanceFact, "covers" | "withdrawn_at"> & Withdrawn>(
  clearances: readonly C[],
  at: Instant,
  day: Day,
): C[] {
  return clearances.filter(
    (each) => each.given_on <= day && day <= each.expires_on && !withdrawnBy(each, at),
  );
}

/** The rules covered by clearances that held at a moment, or hold after it. */
export function coveredSince(
  clearances: readonly (Pick<ClearanceFact, "covers" | "expires_on"> & Withdrawn)[],
  at: Instant,
  day: Day,
): Set<string> {
  const lasting = clearances.filter((each) => each.expires_on >= day && !withdrawnBy(each, at));
  return covered(lasting);
}

/** The rules that they cover. */
export function covered(clearances: readonly Pick<ClearanceFact, "covers">[]): Set<string> {
  return new Set(clearances.flatMap(({ covers }) => covers));
}

interface Withdrawn {
  withdrawn_at?: Instant | null;
}

/** One that is withdrawn from a later moment on holds until then. */
export function withdrawnBy({ withdrawn_at }: Withdrawn, at: Instant): boolean {
  return !!withdrawn_at && Date.parse(withdrawn_at) <= Date.parse(at);
}

export type ClearanceState = "withdrawn" | "later" | "holds" | "ends_soon" | "over";

/** A new one takes time to get. Our own reading, no source. */
const SOON_DAYS = 14;

export function clearanceState(
  clearance: Pick<ClearanceFact, "given_on" | "expires_on"> & Withdrawn,
  at: Instant,
  day: Day,
): ClearanceState {
  if (withdrawnBy(clearance, at)) return "withdrawn";
  if (clearance.expires_on < day) return "over";
  if (clearance.given_on > day) return "later";
  return daysBetween(day, clearance.expires_on) <= SOON_DAYS ? "ends_soon" : "holds";
}

/** What the attention list names, and its count. */
export function endingSoon<H extends { row: Parameters<typeof clearanceState>[0] }>(
  held: readonly H[],
  at: Instant,
  day: Day,
): H[] {
  return held.filter(({ row }) => clearanceState(row, at, day) === "ends_soon");
}

/** The strictest of the limits and of those of clearances: none ever loosens one. */
export function narrowed(
  limits: MergedLimits,
  clearances: readonly { limits?: ClearanceLimits | null }[],
): MergedLimits {
  const given = clearances.flatMap((each) => (each.limits ? [{ ...OPEN, ...each.limits }] : []));
  return merge([limits, ...given]);
}

const OPEN: MergedLimits = merge([]);

/** What to say about the bits that were used: outside the limits, too fast, not finished with diamond. */
import type { BitUse } from "../../domain/commands";
import type { BookJson, MergedLimits } from "../../domain/screening";
import { IN_CRACK } from "./places";

export type BitFault = "not_allowed" | "too_fast" | "in_crack" | "to_leave_alone";

export function faultsOf(use: BitUse, limits: MergedLimits): BitFault[] {
  const faults: BitFault[] = [];
  if (limits.bits_allowed && !limits.bits_allowed.includes(use.family)) faults.push("not_allowed");
  const most = limits.max_rpm[use.family];
  if (most !== undefined && use.rpm > most) faults.push("too_fast");
  if (limits.no_bit_in_crack && use.places.includes(IN_CRACK)) faults.push("in_crack");
  if (use.places.some((place) => limits.leave_alone.includes(place))) faults.push("to_leave_alone");
  return faults;
}

/** The places where a cutting bit was the last to touch the surface: diamond finishes them. */
export function unfinished(book: BookJson, uses: readonly BitUse[]): string[] {
  const last = new Map<string, boolean>();
  for (const use of uses) {
    const cutting = book.bits.find(({ id }) => id === use.family)?.cutting ?? false;
    for (const place of use.places) last.set(place, cutting);
  }
  return [...last].filter(([, cutting]) => cutting).map(([place]) => place);
}

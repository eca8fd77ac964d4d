/** A start that is past is asked about before it is saved: it is far more often a slip than meant. */
import type { Instant } from "../../wire/types";
import { moment } from "../../words/format";
import type { When } from "./suggested";

/** The start that was filled in, where it is past and is not the one that stood there (`stood`) already. */
export function pastStart(
  { day, clock }: Pick<When, "day" | "clock">,
  now: Date,
  stood?: Instant,
): Date | null {
  if (!day || !clock) return null;
  const start = moment(day, clock);
  const kept = stood !== undefined && start.getTime() === Date.parse(stood);
  return start < now && !kept ? start : null;
}

/** What must be filled in before a booking can be saved, by the keys of its words. */
export function lacking({ day, clock, minutes, staff }: When) {
  return [
    ...(day ? [] : (["booking.day"] as const)),
    ...(clock ? [] : (["booking.time"] as const)),
    ...(minutes === null ? (["booking.minutes"] as const) : []),
    ...(staff ? [] : (["booking.technician"] as const)),
  ];
}

/** A booking that is being changed: what was typed over it, and how it stood when that began. */
import type { RowOf } from "../../domain/rows";
import { clockOf, dayKey } from "../../words/format";
import type { When } from "./suggested";

export interface BookingChange {
  when: When | null;
  /** Null where a refused change was brought back: it is then laid over the booking as it is now. */
  began: { when: When; seen: number } | null;
  reason: string;
}

export function blankChange(): BookingChange {
  return { when: null, began: null, reason: "" };
}

export function whenOf({
  starts_at,
  minutes,
  staff,
}: Pick<RowOf<"booking">, "starts_at" | "minutes" | "staff">): When {
  return { day: dayKey(starts_at), clock: clockOf(starts_at), minutes, staff };
}

/** Nothing typed: the form then follows the booking when somebody else moves it. */
export function untouched({ when, began }: BookingChange): boolean {
  if (when === null) return true;
  return (
    began !== null &&
    (["day", "clock", "minutes", "staff"] as const).every(
      (field) => when[field] === began.when[field],
    )
  );
}

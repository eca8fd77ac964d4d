/** Days off, as a form and as a list. */
import { byTime } from "../../domain/by-time";
import type { Held } from "../../store";
import type { Day, Id } from "../../wire/types";
import { dayKey } from "../../words/format";

export interface OffForm {
  who: "one" | "all";
  first: Day;
  /** Empty for a single day. */
  last: Day;
  name: string;
}

export function offForm(): OffForm {
  return { who: "one", first: "", last: "", name: "" };
}

/** What is missing or can't be, by the keys of its words. */
export function wrongOff({ first, last }: OffForm) {
  if (!first) return ["time_off.first"] as const;
  return last && last < first ? (["time_off.last"] as const) : [];
}

/** The visits that stand booked on the days of a form, of whomever it gives them off, the first one first. */
export function bookedOn(
  form: OffForm,
  bookings: readonly Held<"booking">[],
  staff: Id,
): Held<"booking">[] {
  if (wrongOff(form).length > 0) return [];
  const { who, first } = form;
  const last = form.last || first;
  return bookings
    .filter(({ row }) => row.state === "booked" && (who === "all" || row.staff === staff))
    .filter(({ row }) => first <= dayKey(row.starts_at) && dayKey(row.starts_at) <= last)
    .toSorted(byTime(({ row }) => row.starts_at));
}

/** Those of a person and of the whole practice that are not over, the first one first. */
export function comingOff(
  off: readonly Held<"time_off">[],
  staff: Id,
  today: Day,
): Held<"time_off">[] {
  return off
    .filter(({ row }) => row.last >= today && (row.staff === null || row.staff === staff))
    .toSorted((a, b) => a.row.first.localeCompare(b.row.first));
}

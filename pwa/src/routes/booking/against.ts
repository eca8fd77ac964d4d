/** What speaks against a visit where a form has it, from the rows of this phone. */
import { type Code, objections } from "../../domain/schedule/objections";
import type { RowOf } from "../../domain/rows";
import type { Held } from "../../store";
import type { Id } from "../../wire/types";
import { clockOf, dayKey } from "../../words/format";
import { lacking } from "./past";
import type { When } from "./suggested";

export interface Known {
  bookings: readonly Held<"booking">[];
  weeks: readonly Held<"working_week">[];
  off: readonly Held<"time_off">[];
}

/** Nothing of a form that is not filled in yet. `moved` is the booking that the form moves. */
export function against(
  when: When,
  client: Pick<RowOf<"client">, "visit_times">,
  known: Known,
  moved?: Id,
): Code[] {
  const { day, clock, minutes, staff } = when;
  if (lacking(when).length > 0 || minutes === null) return [];
  const others = known.bookings.filter(
    ({ id, row }) =>
      id !== moved &&
      row.staff === staff &&
      row.state === "booked" &&
      dayKey(row.starts_at) === day,
  );
  const theirs = known.off.filter(({ row }) => row.staff === null || row.staff === staff);
  return objections(
    { day, starts: clock, minutes },
    {
      week: known.weeks.find(({ id }) => id === staff)?.row.days ?? null,
      off: theirs.map(({ row }) => [row.first, row.last]),
      others: others.map(({ row }) => ({ starts: clockOf(row.starts_at), minutes: row.minutes })),
      free: client.visit_times ?? [],
    },
  );
}

/** What speaks against a visit where a form has it, from the rows of this phone. */
import { type Code, objections } from "../../domain/schedule/objections";
import type { RowOf } from "../../domain/rows";
import type { Held } from "../../store";
import type { Id } from "../../wire/types";
import { clockOf, dayKey } from "../../words/format";
import { nextDue } from "../due/due-list";
import { lacking } from "./past";
import type { When } from "./suggested";

export interface Known {
  visits: readonly Held<"visit">[];
  bookings: readonly Held<"booking">[];
  weeks: readonly Held<"working_week">[];
  off: readonly Held<"time_off">[];
}

/** Nothing of a form that is not filled in yet. `moved` is the booking that the form moves. */
export function against(
  when: When,
  client: { id: Id; row: Pick<RowOf<"client">, "visit_times" | "may_wait"> },
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
  // Not where another visit comes first, nor where this one stood on that day or a later one already.
  const stood = known.bookings.find(({ id }) => id === moved)?.row.starts_at;
  const stoodLater = stood !== undefined && dayKey(stood) >= day;
  const comesLater =
    !stoodLater &&
    !known.bookings.some(
      ({ id, row }) =>
        id !== moved &&
        row.client === client.id &&
        row.state === "booked" &&
        dayKey(row.starts_at) < day,
    );
  const visits = known.visits.filter(({ row }) => row.client === client.id);
  const due = nextDue(visits, client.row, dayKey);
  const theirs = known.off.filter(({ row }) => row.staff === null || row.staff === staff);
  return objections(
    { day, starts: clock, minutes },
    {
      week: known.weeks.find(({ id }) => id === staff)?.row.days ?? null,
      off: theirs.map(({ row }) => [row.first, row.last]),
      others: others.map(({ row }) => ({ starts: clockOf(row.starts_at), minutes: row.minutes })),
      free: client.row.visit_times ?? [],
      latest: comesLater ? (due?.last ?? null) : null,
    },
  );
}

/** What speaks against a visit where a form has it, from the rows of this phone. */
import {
  type Around,
  type Asked,
  type Code,
  objections,
  type Squeeze,
  squeezes,
} from "../../domain/schedule/objections";
import { estimate } from "../../domain/places/estimate";
import { placeOf } from "../../domain/places/of-booking";
import type { RowOf } from "../../domain/rows";
import type { Travel } from "../../domain/screening/book";
import type { Held } from "../../store";
import { minuteOf } from "../../domain/time-of-day";
import type { Day, Id } from "../../wire/types";
import { clockOf, dayKey } from "../../words/format";
import { nextDue } from "../due/due-list";
import { lacking } from "./past";
import type { When } from "./suggested";

export interface Known {
  visits: readonly Held<"visit">[];
  bookings: readonly Held<"booking">[];
  weeks: readonly Held<"working_week">[];
  off: readonly Held<"time_off">[];
  clients: readonly Held<"client">[];
  facilities: readonly Held<"facility">[];
  travel: Travel | null;
}

export interface Against {
  codes: Code[];
  /** The figures of `short_travel`. */
  squeezes: Squeeze[];
}

/** A day on which a visit of the form is to stand; `moved` is the booking that it moves. */
export interface Stand {
  day: Day;
  moved?: Id | undefined;
}

export interface DayAgainst extends Against {
  day: Day;
  /** The technician has another visit at that time. */
  clash: boolean;
}

interface Whom {
  id: Id;
  row: Pick<RowOf<"client">, "visit_times" | "may_wait" | "facility">;
}

/** Of visits that are to stand at one time of several days. Only the first of them can come too late. */
export function againstEach(
  when: When,
  stands: readonly Stand[],
  client: Whom,
  known: Known,
): DayAgainst[] {
  const leave = new Set(stands.map(({ moved }) => moved));
  return stands.map(({ day, moved }, place) => {
    const bookings = known.bookings.filter(({ id }) => id === moved || !leave.has(id));
    const found = against({ ...when, day }, client, { ...known, bookings }, moved);
    const codes = found.codes.filter((code) => place === 0 || code !== "too_late");
    const clash = bookings.some((each) => each.id !== moved && atOnce({ ...when, day }, each));
    return { ...found, day, codes, clash };
  });
}

function atOnce({ day, clock, minutes, staff }: When, { row }: Held<"booking">): boolean {
  if (row.staff !== staff || row.state !== "booked" || dayKey(row.starts_at) !== day) return false;
  const [one, other] = [minuteOf(clock), minuteOf(clockOf(row.starts_at))];
  return one < other + row.minutes && other < one + (minutes ?? 0);
}

/** Nothing of a form that is not filled in yet. `moved` is the booking that the form moves. */
export function against(when: When, client: Whom, known: Known, moved?: Id): Against {
  const { day, clock, minutes, staff } = when;
  if (lacking(when).length > 0 || minutes === null) return { codes: [], squeezes: [] };
  const asked: Asked = { day, starts: clock, minutes };
  const around = aroundOf({ day, staff }, client, known, moved);
  return { codes: objections(asked, around), squeezes: squeezes(asked, around.others) };
}

/** What is known of a technician's day, and of a client who is to be visited on it. */
export function aroundOf(
  { day, staff }: Pick<When, "day" | "staff">,
  client: Whom,
  known: Known,
  moved?: Id,
): Around {
  const others = known.bookings.filter(
    ({ id, row }) =>
      id !== moved &&
      row.staff === staff &&
      row.state === "booked" &&
      dayKey(row.starts_at) === day,
  );
  const standing = known.bookings.find(({ id }) => id === moved)?.row;
  const place = standing?.place ?? (client.row.facility ? "facility" : "home");
  const at = placeOf(known, { client: client.id, place });
  const visits = others.map(({ row }) => {
    const there = placeOf(known, row);
    const drive = at && there && known.travel ? estimate(at, there, known.travel).seconds : null;
    return { starts: clockOf(row.starts_at), minutes: row.minutes, drive };
  });
  // Not where another visit comes first, nor where this one stood on that day or a later one already.
  const stoodLater = standing !== undefined && dayKey(standing.starts_at) >= day;
  const comesLater =
    !stoodLater &&
    !known.bookings.some(
      ({ id, row }) =>
        id !== moved &&
        row.client === client.id &&
        row.state === "booked" &&
        dayKey(row.starts_at) < day,
    );
  const made = known.visits.filter(({ row }) => row.client === client.id);
  const due = nextDue(made, client.row, dayKey);
  const theirs = known.off.filter(({ row }) => row.staff === null || row.staff === staff);
  return {
    week: known.weeks.find(({ id }) => id === staff)?.row.days ?? null,
    off: theirs.map(({ row }) => [row.first, row.last]),
    others: visits,
    free: client.row.visit_times ?? [],
    latest: comesLater ? (due?.last ?? null) : null,
  };
}

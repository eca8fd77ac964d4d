/** Who waits for a visit, and which times would suit them, from the rows of this phone. */
import { away } from "../../domain/absent";
import { daysAfter } from "../../domain/due";
import {
  type Free,
  firstOfEach,
  inTurn,
  type InTurn,
  isOverdue,
  type Standing,
  standingOf,
  startsFor,
  type Wish,
} from "../../domain/schedule/waiting";
import { type Around, objections, weekdayOf } from "../../domain/schedule/objections";
import { clockAt, minuteOf } from "../../domain/time-of-day";
import type { Held } from "../../store";
import type { Day, Id } from "../../wire/types";
import { clockOf, dayKey } from "../../words/format";
import { aroundOf, type Known } from "../booking/against";
import { byClient } from "../due/due-list";
import { USUAL_HOURS } from "../hours/hours-form";

export interface Waits extends InTurn {
  entry: Held<"waiting">;
  client: Held<"client">;
  standing: Standing;
  overdue: boolean;
}

/** A time that a client could have, with its start as HH:MM. */
export interface FreeTime {
  day: Day;
  clock: string;
  staff: Id;
}

export interface Offer extends FreeTime {
  waits: Waits;
  /** It is outside of the technician's hours, as the visit was that it became free from. */
  outside: boolean;
}

/** What has become free, by which booking. */
export interface Freed {
  booking: Id;
  staff: Id;
  day: Day;
  clock: string;
  minutes: number;
}

const WHOLE_DAY = [0, 24 * 60] as const;
const DAYS_AHEAD = 14;

/** In turn. `dueLast` is the last day that is in time for a client's next visit, where that was said. */
export function waitingList(
  entries: readonly Held<"waiting">[],
  known: Pick<Known, "clients" | "bookings">,
  dueLast: (client: Held<"client">) => Day | null,
  today: Day,
): Waits[] {
  const clients = new Map(known.clients.map((client) => [client.id, client]));
  const stand = known.bookings.filter(({ row }) => row.state === "booked" || row.state === "done");
  const visits = byClient(stand);
  const waits = entries.flatMap((entry) => {
    const client = clients.get(entry.row.client);
    if (client === undefined) return [];
    const days = (visits.get(client.id) ?? []).map(({ row }) => dayKey(row.starts_at));
    const turn = { id: entry.id, since: entry.row.since, due_last: dueLast(client) };
    const standing = standingOf(entry.row, days, today);
    return [{ ...turn, entry, client, standing, overdue: isOverdue(turn, today) }];
  });
  return inTurn(waits, today);
}

/** Those who can be offered a time now. */
export function openFor(list: readonly Waits[]): Waits[] {
  return list.filter(({ standing, client }) => standing === "waits" && !away(client));
}

/**
 * Whom what became free would suit, in turn. Where this phone does not have the technician's other visits, nothing
 * beyond the freed time itself is known to be free.
 */
export function offersFor(
  freed: Freed,
  list: readonly Waits[],
  known: Known,
  knowsDay: boolean,
  now: Date,
): Offer[] {
  const { day, staff, booking } = freed;
  const starts = minuteOf(freed.clock);
  const free = [starts, starts + freed.minutes] as const;
  const where = fromNow({ day, staff, free, bounds: knowsDay ? WHOLE_DAY : free }, now);
  const whose = known.bookings.find(({ id }) => id === booking)?.row.client;
  const others = openFor(list).filter(({ client }) => client.id !== whose);
  return others.flatMap((waits) => {
    const found = startFor(freed, where, waits.entry.row, aroundOf(freed, waits.client, known));
    return found ? [{ waits, day, staff, clock: clockAt(found.at), outside: found.outside }] : [];
  });
}

/** A time that was meant to be outside of the hours is free all the same, and no longer than it was. */
function startFor(freed: Freed, where: Free, wish: Wish, around: Around) {
  const [at] = startsFor(where, wish, around);
  if (at !== undefined) return { at, outside: false };
  const asked = { day: freed.day, starts: freed.clock, minutes: freed.minutes };
  if (!objections(asked, { ...around, others: [], free: [] }).includes("outside_hours"))
    return null;
  const [from, until] = where.bounds;
  const bounds = [Math.max(from, where.free[0]), Math.min(until, where.free[1])] as const;
  const [meant] = startsFor({ ...where, bounds }, wish, { ...around, week: null });
  return meant === undefined ? null : { at: meant, outside: true };
}

/** The earliest start in each gap of the next days, of those technicians whose visits this phone has. */
export function freeTimes(
  { entry, client }: Waits,
  staff: readonly Id[],
  known: Known,
  now: Date,
): FreeTime[] {
  const days = Array.from({ length: DAYS_AHEAD }, (_, at) => daysAfter(dayKey(now), at));
  const found = days.flatMap((day) =>
    staff.flatMap((who) => {
      const hours = hoursOf(who, day, known);
      if (hours === null) return [];
      const where = fromNow({ day, staff: who, free: hours, bounds: hours }, now);
      const around = aroundOf({ day, staff: who }, client, known);
      const starts = firstOfEach(startsFor(where, entry.row, around));
      return starts.map((at) => ({ day, clock: clockAt(at), staff: who }));
    }),
  );
  return found.toSorted((a, b) => a.day.localeCompare(b.day) || a.clock.localeCompare(b.clock));
}

function hoursOf(staff: Id, day: Day, { weeks }: Known): Free["bounds"] | null {
  const week = weeks.find(({ id }) => id === staff)?.row.days;
  const hours = week ? week.find(({ weekday }) => weekday === weekdayOf(day)) : USUAL_HOURS;
  return hours ? [minuteOf(hours.starts), minuteOf(hours.ends)] : null;
}

/** Nothing that is past is free. */
function fromNow(where: Free, now: Date): Free {
  const today = dayKey(now);
  if (where.day > today) return where;
  const [from, until] = where.bounds;
  const passed = where.day < today ? until : minuteOf(clockOf(now)) + 1;
  return { ...where, bounds: [Math.max(from, passed), until] };
}

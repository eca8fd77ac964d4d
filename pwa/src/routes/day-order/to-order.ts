/** What of a day can still be ordered anew: my booked visits that nobody has begun, each with its place. */
import { byTime } from "../../domain/by-time";
import { type DayStop, GRID_S, type Outset } from "../../domain/planning/of-day";
import { inBoth, type Period, without } from "../../domain/planning/periods";
import type { PlanBreak } from "../../domain/planning/problem";
import { estimate } from "../../domain/places/estimate";
import { placeOf } from "../../domain/places/of-booking";
import type { Point } from "../../domain/places/position";
import type { RowOf } from "../../domain/rows";
import { weekdayOf } from "../../domain/schedule/objections";
import type { Travel } from "../../domain/screening/book";
import { daysAfter } from "../../domain/time-of-day";
import type { Held } from "../../store";

export interface OrderStop extends DayStop {
  client: string;
  name: string;
  phone: string;
  version: number;
  row: RowOf<"booking">;
  /** Its round says when it is, not this screen. */
  in_round: boolean;
  /** Its time has gone by, and nobody has begun it. */
  gone: boolean;
}

export interface ToOrder {
  stops: OrderStop[];
  /** Whose place is not known; a place in a facility is told on the facility's card. */
  unknown: { client: string; name: string; facility: string | null }[];
  outset: Outset;
}

export interface DayRows {
  bookings: readonly Held<"booking">[];
  clients: readonly Held<"client">[];
  facilities: readonly Held<"facility">[];
  visits: readonly Held<"visit">[];
  weeks: readonly Held<"working_week">[];
  bases: readonly Held<"base">[];
}

interface Asked {
  me: string;
  day: string;
  now: Date;
  locked: readonly string[];
  /** Null where this phone cannot guess a drive. */
  travel: Travel | null;
  dayOf: (at: string | Date) => string;
  moment: (day: string, clock: string) => Date;
}

export function toOrder(rows: DayRows, asked: Asked): ToOrder {
  const begun = new Map(rows.visits.map(({ row }) => [row.booking, row]));
  const mine = rows.bookings
    .filter(({ row }) => row.staff === asked.me && asked.dayOf(row.starts_at) === asked.day)
    .toSorted(byTime(({ row }) => row.starts_at));
  const open = mine.filter(({ id, row }) => row.state === "booked" && !begun.has(id));
  const whole: Omit<ToOrder, "outset"> = { stops: [], unknown: [] };
  for (const { id, row, version } of open) {
    const client = rows.clients.find((each) => each.id === row.client)?.row;
    const at = placeOf(rows, row);
    const name = client?.name ?? "";
    if (at === null) {
      const facility = row.place === "facility" ? (client?.facility ?? null) : null;
      whole.unknown.push({ client: row.client, name, facility });
      continue;
    }
    const free = freeOf(rows, row, asked);
    const starts = seconds(row.starts_at);
    // Somebody meant a time outside of them: it is theirs to change.
    const meant = !free.some(([from, to]) => from <= starts && starts + row.minutes * 60 <= to);
    const in_round = row.round !== null && row.round !== undefined;
    whole.stops.push({
      ...{ booking: id, client: row.client, name, phone: client?.phone ?? "", version, row, at },
      ...{ starts, minutes: row.minutes, in_round, free, gone: starts < seconds(asked.now) },
      locked: in_round || meant || asked.locked.includes(id),
    });
  }
  return { ...whole, outset: outset(rows, asked, mine, whole.stops[0]) };
}

/** From where the last visit of the day was begun, today; else from my base, where it is known. */
function outset(
  rows: DayRows,
  asked: Asked,
  mine: readonly Held<"booking">[],
  next: OrderStop | undefined,
): Outset {
  const base = rows.bases.find(({ id }) => id === asked.me)?.row.position ?? null;
  const day = { ends: wholeDay(asked)[1], to: base, breaks: breaksOf(rows, asked) };
  if (asked.dayOf(asked.now) !== asked.day) return { begins: 0, from: base, leaves: 0, ...day };
  const now = seconds(asked.now);
  const last = rows.visits
    .filter(({ row }) => mine.some(({ id }) => id === row.booking))
    .toSorted(byTime(({ row }) => row.started_at))
    .at(-1)?.row;
  const booking = mine.find(({ id }) => id === last?.booking)?.row;
  if (last === undefined || booking === undefined) {
    const leaves = base && next ? leftFor(next, base, now, asked.travel) : now;
    return { begins: onGrid(now), from: base, leaves, ...day };
  }
  const over = seconds(last.started_at) + booking.minutes * 60;
  const begins = last.state === "started" ? Math.max(now, over) : now;
  return { begins: onGrid(begins), from: placeOf(rows, booking), leaves: begins, ...day };
}

/** Whoever goes to a visit that is still to come is on the way in time for it; else it is now. */
function leftFor({ starts, at }: OrderStop, base: Point, now: number, travel: Travel | null) {
  if (starts < now || travel === null) return now;
  return Math.min(now, starts - estimate(base, at, travel).seconds);
}

/** No client is told an odd minute. */
function onGrid(moment: number): number {
  return Math.ceil(moment / GRID_S) * GRID_S;
}

/** In the technician's hours and the client's own times, outside of the house's quiet times. */
function freeOf(rows: DayRows, { client, place }: RowOf<"booking">, asked: Asked): Period[] {
  const card = rows.clients.find(({ id }) => id === client)?.row;
  const house = rows.facilities.find(({ id }) => id === card?.facility)?.row;
  const weekday = weekdayOf(asked.day);
  const times = (card?.visit_times ?? []).filter((span) => span.weekday === weekday);
  const hours = hoursOf(rows, asked);
  const worked = hours ? [periodOf(asked, hours)] : [wholeDay(asked)];
  const wished = card?.visit_times?.length ? times.map((span) => periodOf(asked, span)) : worked;
  const quiet = place === "home" ? [] : (house?.quiet_times ?? []);
  return without(
    inBoth(worked, wished),
    quiet.map((span) => periodOf(asked, span)),
  );
}

function hoursOf({ weeks }: DayRows, { me, day }: Asked) {
  const days = weeks.find(({ id }) => id === me)?.row.days ?? [];
  return days.find(({ weekday }) => weekday === weekdayOf(day));
}

function periodOf({ day, moment }: Asked, span: { starts: string; ends: string }): Period {
  return [seconds(moment(day, span.starts)), seconds(moment(day, span.ends))];
}

function wholeDay({ day, moment }: Asked): Period {
  return [seconds(moment(day, "00:00")), seconds(moment(daysAfter(day, 1), "00:00"))];
}

/** `latest` is by when a break of the working week is over. */
function breaksOf(rows: DayRows, asked: Asked): PlanBreak[] {
  return (hoursOf(rows, asked)?.breaks ?? [])
    .map(({ earliest, latest, minutes }) => ({
      earliest: seconds(asked.moment(asked.day, earliest)),
      latest: seconds(asked.moment(asked.day, latest)) - minutes * 60,
      seconds: minutes * 60,
    }))
    .toSorted((one, other) => one.earliest - other.earliest);
}

function seconds(at: string | Date): number {
  return Math.round(new Date(at).getTime() / 1000);
}

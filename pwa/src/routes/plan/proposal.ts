/** A plan as the screen has it: what the server proposed, what stands booked by now, and what a person changed. */
import { byTime } from "../../domain/by-time";
import { estimate } from "../../domain/places/estimate";
import { placeOf } from "../../domain/places/of-booking";
import type { Point } from "../../domain/places/position";
import type { Code } from "../../domain/schedule/objections";
import type { Held } from "../../store";
import type { Day, DaysPlan, Id, PlanAsked } from "../../wire/types";
import { clockOf, dayKey, moment } from "../../words/format";
import { against, type Known } from "../booking/against";

export interface Moved {
  day: Day;
  clock: string;
  staff: Id;
}

/** What a person made of a plan; `run` is the one that it is about. */
export interface Changes {
  run: Id;
  left_out: Id[];
  kept: Id[];
  moved: Record<Id, Moved>;
}

export interface Stop {
  client: Id;
  /** Null where it is proposed. */
  booking: Id | null;
  staff: Id;
  starts: Date;
  minutes: number;
  place: "home" | "facility";
  service: string;
  moved: boolean;
  kept: boolean;
  codes: Code[];
}

type Planned = DaysPlan["days"][number];

export interface PlanDay {
  day: Day;
  staff: Id;
  stops: Stop[];
  seconds: number;
  metres: number;
  kept: Planned["kept"];
  /** What whoever books it means, and is not asked about where the plan knew better. */
  meant: Code[];
}

export type PlanRows = Known & { bases: readonly Held<"base">[] };

export function noChanges(run: Id): Changes {
  return { run, left_out: [], kept: [], moved: {} };
}

/** By day, then by technician in the order given. */
export function daysOf(
  plan: DaysPlan,
  changes: Changes,
  rows: PlanRows,
  technicians: readonly Id[],
): PlanDay[] {
  const stops = stopsOf(plan, changes, rows);
  const known = { ...rows, bookings: [...rows.bookings, ...asBookings(stops)] };
  const days = new Map<string, PlanDay>();
  for (const stop of stops.toSorted(byTime(({ starts }) => starts.toISOString()))) {
    const day = dayKey(stop.starts);
    const key = `${day} ${stop.staff}`;
    const found = days.get(key) ?? emptyDay(plan, day, stop.staff);
    found.stops.push(stop.booking ? stop : { ...stop, codes: codesOf(stop, known) });
    days.set(key, found);
  }
  return [...days.values()]
    .map((day) => judged(plan, day, rows))
    .toSorted(
      (a, b) =>
        a.day.localeCompare(b.day) || technicians.indexOf(a.staff) - technicians.indexOf(b.staff),
    );
}

/** Those that can be booked. */
export function open(day: PlanDay): Stop[] {
  return day.stops.filter(({ booking }) => booking === null);
}

/** What a person has to mean. Who can only be seen too late was planned so: nobody has to say it again. */
export function doubts(days: readonly PlanDay[]): { stop: Stop; codes: Code[] }[] {
  return days
    .flatMap(open)
    .map((stop) => ({
      stop,
      codes: stop.codes.filter((code) => stop.moved || code !== "too_late"),
    }))
    .filter(({ codes }) => codes.length > 0);
}

/** Its days again, with what a person kept and moved in its place and without whom they left out. */
export function askedAgain(
  asked: PlanAsked,
  days: readonly PlanDay[],
  changes: Changes,
): PlanAsked {
  return {
    ...asked,
    left_out: changes.left_out,
    fixed: days
      .flatMap(open)
      .filter(({ kept, moved }) => kept || moved)
      .map(({ client, staff, starts }) => ({ client, staff, starts_at: starts.toISOString() })),
  };
}

function judged(plan: DaysPlan, day: PlanDay, rows: PlanRows): PlanDay {
  const meant = [...new Set(open(day).flatMap(({ codes }) => codes))];
  const figures = asPlanned(plan, day) ?? driven(day, rows);
  if (!byRoads(plan, day, rows)) return { ...day, ...figures, meant };
  const stops = day.stops.map((stop) => ({
    ...stop,
    codes: stop.codes.filter((code) => code !== "short_travel"),
  }));
  return { ...day, ...figures, stops, meant };
}

function stopsOf(plan: DaysPlan, changes: Changes, { bookings }: PlanRows): Stop[] {
  const standing = new Map(
    bookings.filter(({ row }) => row.state === "booked").map((held) => [held.id, held]),
  );
  return plan.days.flatMap(({ staff, visits, day }) =>
    visits.flatMap((visit): Stop[] => {
      const found = visit.booking
        ? standing.get(visit.booking)
        : [...standing.values()].find(
            ({ row }) => row.client === visit.client && dayKey(row.starts_at) >= firstOf(plan, day),
          );
      if (found) return [booked(found)];
      if (visit.booking || changes.left_out.includes(visit.client)) return [];
      const to = changes.moved[visit.client];
      return [
        {
          ...{ client: visit.client, booking: null, minutes: visit.minutes, codes: [] },
          ...{ place: visit.place === "home" ? "home" : "facility", service: visit.service },
          staff: to?.staff ?? staff,
          starts: to ? moment(to.day, to.clock) : new Date(visit.starts_at),
          moved: to !== undefined,
          kept: visit.fixed || changes.kept.includes(visit.client),
        },
      ];
    }),
  );
}

function firstOf(plan: DaysPlan, day: Day): Day {
  return plan.days[0]?.day ?? day;
}

function booked({ id, row }: Held<"booking">): Stop {
  return {
    ...{ client: row.client, booking: id, staff: row.staff, starts: new Date(row.starts_at) },
    ...{ minutes: row.minutes, place: row.place === "home" ? "home" : "facility" },
    ...{ service: row.service ?? "", moved: false, kept: true, codes: [] },
  };
}

function asBookings(stops: readonly Stop[]): Known["bookings"][number][] {
  return stops
    .filter(({ booking }) => booking === null)
    .map(
      ({ client, staff, starts, minutes, place }) =>
        ({
          id: `plan ${client}`,
          row: { client, staff, place, minutes, state: "booked", starts_at: starts.toISOString() },
        }) as unknown as Known["bookings"][number],
    );
}

function codesOf(stop: Stop, known: Known): Code[] {
  const client = known.clients.find(({ id }) => id === stop.client);
  if (!client) return [];
  const { starts, minutes, staff } = stop;
  const when = { day: dayKey(starts), clock: clockOf(starts), minutes, staff };
  const bookings = known.bookings.filter(({ id }) => id !== `plan ${stop.client}`);
  return against(when, client, { ...known, bookings }).codes;
}

function emptyDay(plan: DaysPlan, day: Day, staff: Id): PlanDay {
  const planned = plannedOf(plan, { day, staff });
  return { day, staff, stops: [], seconds: 0, metres: 0, kept: planned?.kept ?? null, meant: [] };
}

function plannedOf(plan: DaysPlan, { day, staff }: Pick<PlanDay, "day" | "staff">) {
  return plan.days.find((each) => each.day === day && each.staff === staff);
}

/** The server's own figures, of real roads perhaps, while nothing of the day was changed. */
function asPlanned(plan: DaysPlan, day: PlanDay) {
  const planned = plannedOf(plan, day);
  const same =
    planned?.visits.length === day.stops.length &&
    planned.visits.every(({ client }, place) => client === day.stops[place]?.client);
  return same ? { seconds: planned.seconds, metres: planned.metres } : null;
}

/** Its drives were judged by roads, which a guess does not gainsay, and it stands as it was planned. */
function byRoads(plan: DaysPlan, day: PlanDay, { bookings }: PlanRows): boolean {
  const visits = plannedOf(plan, day)?.visits ?? [];
  const asProposed = day.stops.every(
    ({ starts }, place) => starts.getTime() === Date.parse(visits[place]?.starts_at ?? ""),
  );
  const shown = new Set(day.stops.map(({ booking }) => booking));
  const others = bookings.filter(
    ({ id, row }) =>
      row.staff === day.staff &&
      row.state === "booked" &&
      dayKey(row.starts_at) === day.day &&
      !shown.has(id),
  );
  return !plan.guessed && asPlanned(plan, day) !== null && asProposed && others.length === 0;
}

/** From the base and back, where it is known; without the ways to a door that is not. */
function driven(day: PlanDay, rows: PlanRows) {
  const whole = { seconds: 0, metres: 0 };
  const home: Point | null = rows.bases.find(({ id }) => id === day.staff)?.row.position ?? null;
  const places = [home, ...day.stops.map((stop) => placeOf(rows, stop)), home];
  for (const [at, place] of places.entries()) {
    const next = places[at + 1];
    if (!place || !next || !rows.travel) continue;
    const { seconds, metres } = estimate(place, next, rows.travel);
    whole.seconds += seconds;
    whole.metres += metres;
  }
  return whole;
}

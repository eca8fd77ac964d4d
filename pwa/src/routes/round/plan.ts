/** A round that is being planned: what was chosen, and the visits that come of it. */
import { away } from "../../domain/absent";
import type { CommandArgs } from "../../domain/commands";
import {
  kept,
  type LaidOut,
  laidOut,
  type Quiet,
  type RoundStop,
  shared,
  walkingOrder,
} from "../../domain/rounds";
import type { Code } from "../../domain/schedule/objections";
import { type DueState, dueState } from "../../domain/schedule/due-visits";
import { clockAt, minuteOf } from "../../domain/time-of-day";
import type { Held } from "../../store";
import { clockOf, dayKey, moment } from "../../words/format";
import type { Day, Id } from "../../wire/types";
import { statesOn, type States, type Told } from "../client/resident-states";
import { against, type Known } from "../booking/against";

export interface RoundForm {
  day: Day;
  starts: string;
  minutes: number | null;
  staff: Id[];
  note: string;
  /** Clients who are to be seen, besides those who have a visit on that day already. */
  chosen: Id[];
  /** Whether who has no consent is left out where several are chosen at once. */
  without: boolean;
  /** As a person has put them; empty for the walk as it comes. */
  order: Id[];
  with: Record<Id, Id>;
  /** Against what a person means it all the same, as it stood when they said so. */
  meant: string;
}

export function blankRound(): RoundForm {
  const none = { chosen: [], without: true, order: [], with: {}, meant: "" };
  return { day: "", starts: "09:00", minutes: 30, staff: [], note: "", ...none };
}

type Arranged = CommandArgs["plan_round"]["visits"][number];

interface Sent {
  day: Day;
  note: string;
  visits: readonly Pick<Arranged, "client" | "staff" | "starts_at" | "minutes">[];
}

/** The form again, of a round that was sent. */
export function formOf({ day, note, visits }: Sent): RoundForm {
  return {
    ...blankRound(),
    ...{ day, note },
    starts: visits.map((each) => clockOf(each.starts_at)).toSorted()[0] ?? "09:00",
    minutes: visits[0]?.minutes ?? 30,
    staff: [...new Set(visits.map((each) => each.staff))],
    chosen: visits.map((each) => each.client),
    order: visits.map((each) => each.client),
    with: Object.fromEntries(visits.map((each) => [each.client, each.staff])),
  };
}

export interface Resident extends RoundStop {
  /** The visit that stands on that day already. */
  booking: Held<"booking"> | null;
  /** The day of the next visit that is booked, from today on. */
  next: Day | null;
  /** The day of the last visit that was done, as far as this phone knows. */
  last: Day | null;
  states: States;
  /** Whether the next visit is due by the day of the round. */
  state: DueState;
}
/** The most pressing first. */
const DUE_NOW: readonly DueState[] = ["overdue", "booked_late", "due"];

export type Laid = Resident & LaidOut & { staff: Id };

/** Everyone of the house who gets visits, as one walks. A visit whose time has come is nobody's to move. */
export function residentsOf(
  house: Held<"facility">,
  clients: readonly Held<"client">[],
  bookings: readonly Held<"booking">[],
  form: Pick<RoundForm, "day" | "minutes">,
  now: Date,
  toldOf: (client: Held<"client">) => Told,
): Resident[] {
  const today = dayKey(now);
  const day = form.day || today;
  const living = clients.filter((client) => client.row.facility === house.id && !away(client));
  const stops = living.map((client): Resident => {
    const { id, row } = client;
    const told = toldOf(client);
    const own = bookings.filter((each) => each.row.client === id);
    const ahead = daysAhead(own, today);
    const done = own.filter((each) => each.row.state === "done");
    const booking = own.find(
      (each) =>
        each.row.state === "booked" &&
        dayKey(each.row.starts_at) === form.day &&
        Date.parse(each.row.starts_at) > now.getTime(),
    );
    return {
      client: id,
      name: row.name,
      room: row.room,
      corridor: row.corridor ?? "",
      see_last: row.see_last ?? false,
      minutes: booking?.row.minutes ?? form.minutes ?? 30,
      booking: booking ?? null,
      next: ahead.toSorted()[0] ?? null,
      last: done.map((each) => dayKey(each.row.starts_at)).reduce(later, null),
      states: statesOn(told, day),
      state: dueState(told.due, ahead, day),
    };
  });
  return walkingOrder(stops, house.row.corridors ?? []);
}

function daysAhead(own: readonly Held<"booking">[], today: Day): Day[] {
  const booked = own.filter((each) => each.row.state === "booked");
  return booked.map((each) => dayKey(each.row.starts_at)).filter((each) => each >= today);
}

/** Who is due by the day of the round and has no visit yet, the most pressing first. */
export function dueNow(residents: readonly Resident[]): Resident[] {
  return DUE_NOW.flatMap((state) => residents.filter((one) => !one.booking && one.state === state));
}

/** Who has no visit yet and is not left out. */
export function toChoose(residents: readonly Resident[], without: boolean): Id[] {
  return residents
    .filter(({ booking, states }) => !booking && !(without && states.consent === "missing"))
    .map(({ client }) => client);
}

function later(one: Day | null, other: Day): Day {
  return one !== null && one > other ? one : other;
}

/** The stops of the round with their times, technician by technician, in the order in which they are seen. */
export function planned(
  residents: readonly Resident[],
  form: RoundForm,
  quiet: readonly Quiet[],
): Laid[] {
  const walk = residents.filter(
    ({ client, booking }) => booking !== null || form.chosen.includes(client),
  );
  const byId = new Map(walk.map((one) => [one.client, one]));
  const order = kept(
    form.order,
    walk.map(({ client }) => client),
  ).flatMap((id) => byId.get(id) ?? []);
  const whose = shared(order, form.staff, form.with);
  return form.staff.flatMap((staff) => {
    const own = order.filter(({ client }) => whose.get(client) === staff);
    const times = new Map(
      laidOut(own, minuteOf(form.starts), quiet).map((laid) => [laid.client, laid]),
    );
    return own.flatMap((stop) => {
      const laid = times.get(stop.client);
      return laid ? [{ ...stop, ...laid, staff }] : [];
    });
  });
}

/** What the round does to the visit that stands on that day already. */
export function changesOf({ booking, staff, starts }: Laid) {
  const before = booking ? clockOf(booking.row.starts_at) : clockAt(starts);
  return {
    from: before === clockAt(starts) ? null : before,
    handed: booking !== null && booking.row.staff !== staff,
  };
}

export function quietOf(house: Held<"facility">): Quiet[] {
  return (house.row.quiet_times ?? []).map(({ name, starts, ends }) => ({
    name,
    starts: minuteOf(starts),
    ends: minuteOf(ends),
  }));
}

const LAST_MINUTE = 24 * 60;

export function pastMidnight(round: readonly Laid[]): boolean {
  return round.some(({ starts, minutes }) => starts + minutes > LAST_MINUTE);
}

export function visitsOf(
  round: readonly Laid[],
  day: Day,
  newId: () => Id,
): CommandArgs["arrange_visits"]["visits"] {
  return round.map(({ client, booking, staff, starts, minutes }) => ({
    booking: booking?.id ?? newId(),
    seen: booking?.version ?? null,
    client,
    staff,
    starts_at: moment(day, clockAt(starts)).toISOString(),
    minutes,
    place: "facility",
    service: booking?.row.service ?? "",
  }));
}

/** Which of the round's stops something speaks against, judged by where all of them stand afterwards. */
export function doubtful(
  round: readonly Laid[],
  day: Day,
  clients: readonly Held<"client">[],
  known: Known,
): { stop: Laid; codes: Code[] }[] {
  const moved = new Set(round.map(({ booking }) => booking?.id));
  const bookings = [
    ...known.bookings.filter(({ id }) => !moved.has(id)),
    ...visitsOf(round, day, () => "").map(
      ({ booking, seen, ...row }) =>
        ({
          id: booking,
          version: seen,
          row: { ...row, state: "booked" },
        }) as unknown as Known["bookings"][number],
    ),
  ];
  return round.flatMap((stop) => {
    const client = clients.find(({ id }) => id === stop.client);
    if (!client) return [];
    const { staff, starts, minutes } = stop;
    const others = bookings.filter(
      ({ row }) => row.client !== stop.client || clockOf(row.starts_at) !== clockAt(starts),
    );
    const when = { day, clock: clockAt(starts), minutes, staff };
    const { codes } = against(when, client, { ...known, bookings: others });
    return codes.length > 0 ? [{ stop, codes }] : [];
  });
}

/** The technician's other visits of that day which a stop of the round runs into. */
export function runsInto(
  round: readonly Laid[],
  day: Day,
  bookings: readonly Held<"booking">[],
): Laid[] {
  const own = new Set(round.map(({ booking }) => booking?.id));
  const others = bookings.filter(
    ({ id, row }) => !own.has(id) && row.state === "booked" && dayKey(row.starts_at) === day,
  );
  return round.filter((stop) =>
    others.some(({ row }) => {
      const begins = minuteOf(clockOf(row.starts_at));
      return (
        row.staff === stop.staff &&
        begins < stop.starts + stop.minutes &&
        stop.starts < begins + row.minutes
      );
    }),
  );
}

/** The day's bookings in order, each with who, where, and how far it has come. */
import { type AwayAs, awayAs } from "../../domain/absent";
import { byTime } from "../../domain/by-time";
import type { Outcome } from "../../domain/findings";
import type { NotReady } from "../../domain/not-ready";
import { answersOf } from "../../domain/referrals";
import { refused } from "../../domain/verdicts";
import { type Drive, estimate } from "../../domain/places/estimate";
import { placeOf } from "../../domain/places/of-booking";
import type { Point } from "../../domain/places/position";
import type { Travel } from "../../domain/screening/book";
import type { Held } from "../../store";
import { endedEarly } from "../visit/state-word";
import type { Staff } from "../../wire/types";

export type StopState = "booked" | "started" | "done" | "under_review" | "not_seen" | "cancelled";
export interface Stop {
  booking: string;
  client: string;
  name: string;
  where: string;
  staff: string | null;
  starts_at: string;
  minutes: number;
  state: StopState;
  /** The visit of it ended early. */
  early: boolean;
  away: AwayAs | undefined;
  /** The strictest of what waits for a clinician's word. */
  waits: Outcome | undefined;
  /** A clinician's no stands. */
  said_no: boolean;
  /** All that a coordinator is told of either. */
  not_ready: NotReady | undefined;
  pending: boolean;
  /** A guess of the drive here from the visit before. */
  drive: Drive | null;
}

interface Day {
  bookings: readonly Held<"booking">[];
  clients: readonly Held<"client">[];
  visits: readonly Held<"visit">[];
  facilities: readonly Held<"facility">[];
  staff: readonly Held<"staff">[];
  /** Those that wait for a clinician's word, the most urgent first. */
  waiting: readonly Held<"referral">[];
  notReadyOn: (client: string, day: string) => NotReady | undefined;
  me: Staff | null;
  travel: Travel | null;
  day: string;
  dayOf: (at: string) => string;
}

export function stopsOf(given: Day): Stop[] {
  const clients = byId(given.clients);
  const facilities = byId(given.facilities);
  const staff = byId(given.staff);
  const mine = given.me?.role === "coordinator" ? null : (given.me?.id ?? null);
  let before: Point | null = null;
  return given.bookings
    .filter(({ row }) => given.dayOf(row.starts_at) === given.day)
    .filter(({ row }) => mine === null || row.staff === mine)
    .toSorted(byTime(({ row }) => row.starts_at))
    .map(({ id, row, pending }) => {
      const client = clients.get(row.client);
      const waiting = given.waiting.filter((each) => each.row.client === row.client);
      const visit = visitOf(given.visits, id);
      const at = placeOf(given, row);
      const comes = mine !== null && row.state !== "cancelled";
      const drive =
        comes && at && before && given.travel ? estimate(before, at, given.travel) : null;
      if (comes) before = at;
      const facility = client?.facility ? facilities.get(client.facility) : undefined;
      return {
        booking: id,
        client: row.client,
        name: client?.name ?? "",
        where: place(row.place, client, facility?.name),
        staff: mine === null ? (staff.get(row.staff)?.name ?? null) : null,
        starts_at: row.starts_at,
        minutes: row.minutes,
        state: stateOf(row.state, visit?.state),
        early: visit !== undefined && endedEarly(visit),
        away: client && awayAs(client),
        waits: waiting[0]?.row.level,
        said_no: waiting.some((each) => refused(answersOf(each.row))),
        not_ready: given.notReadyOn(row.client, given.day),
        pending,
        drive,
      };
    });
}

function byId<R>(held: readonly { id: string; row: R }[]): Map<string, R> {
  return new Map(held.map(({ id, row }) => [id, row]));
}

function visitOf(visits: readonly Held<"visit">[], booking: string) {
  return visits.find(({ row }) => row.booking === booking)?.row;
}

function place(
  at: string,
  client: { room: string; address: string } | undefined,
  facility: string | undefined,
): string {
  if (at === "facility") return [facility, client?.room].filter(Boolean).join(", ");
  return client?.address ?? "";
}

function stateOf(booking: string, visit: string | undefined): StopState {
  if (booking === "cancelled") return "cancelled";
  if (visit === "under_review") return "under_review";
  if (visit === "completed" || visit === "ended_early" || booking === "done") return "done";
  if (booking === "not_seen") return "not_seen";
  return visit === "started" ? "started" : "booked";
}

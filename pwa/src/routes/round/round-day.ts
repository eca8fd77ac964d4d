/** A round as it was planned: its stops in the order of the walk, and whom nobody has seen. Pure. */
import { byTime } from "../../domain/by-time";
import { daysAfter } from "../../domain/due";
import type { Held } from "../../store";
import { dayKey } from "../../words/format";
import type { CommandArgs } from "../../domain/commands";
import type { Day, Id } from "../../wire/types";
import type { Why } from "../booking/change";
import { dueNow, type Resident, toChoose } from "./plan";

/** What is typed about a round on its day. */
export interface RoundDayForm {
  note: string;
  cancel: Why;
  weeks: number | null;
}

export function blankRoundDay(): RoundDayForm {
  return { note: "", cancel: { code: "", words: "" }, weeks: 6 };
}

/** A visit that was moved to another day is no stop any more; `schedule/rounds.py` says alike. */
export function stopsOf(
  round: Held<"round">,
  bookings: readonly Held<"booking">[],
): Held<"booking">[] {
  return bookings
    .filter(({ row }) => row.round === round.id && dayKey(row.starts_at) === round.row.day)
    .toSorted(byTime(({ row }) => row.starts_at));
}

export interface Missed {
  booking: Held<"booking">;
  day: Day;
  /** The next visit that is booked since. */
  next: Day | null;
}

/** Whoever was not seen at the last round that had them, the latest round first. */
export function missed(
  rounds: readonly Held<"round">[],
  bookings: readonly Held<"booking">[],
): Missed[] {
  const last = new Map<Id, Missed>();
  const inOrder = rounds.toSorted((a, b) => a.row.day.localeCompare(b.row.day));
  for (const round of inOrder) {
    for (const stop of stopsOf(round, bookings)) {
      if (stop.row.state === "done") last.delete(stop.row.client);
      if (stop.row.state === "not_seen") {
        last.set(stop.row.client, { booking: stop, day: round.row.day, next: null });
      }
    }
  }
  return [...last.values()]
    .filter(({ booking, day }) => !seenSince(booking.row.client, day, bookings))
    .map((one) => ({ ...one, next: nextOf(one, bookings) }))
    .toReversed();
}

function seenSince(client: Id, day: Day, bookings: readonly Held<"booking">[]): boolean {
  return bookings.some(
    ({ row }) => row.client === client && row.state === "done" && dayKey(row.starts_at) > day,
  );
}

function nextOf({ booking, day }: Missed, bookings: readonly Held<"booking">[]): Day | null {
  const days = bookings
    .filter(({ row }) => row.client === booking.row.client && row.state === "booked")
    .map(({ row }) => dayKey(row.starts_at))
    .filter((each) => each > day);
  return days.toSorted()[0] ?? null;
}

/** Every stop that still stands, as the command names it. */
export function standing(stops: readonly Held<"booking">[]): CommandArgs["cancel_round"]["stops"] {
  return stops
    .filter(({ row }) => row.state === "booked")
    .map(({ id, version }) => ({ booking: id, seen: version }));
}

/** Who is seen at the next one: whoever is due by then, and whoever was not seen at this one. */
export function forNext(residents: readonly Resident[], stops: readonly Held<"booking">[]): Id[] {
  const unseen = new Set(
    stops.filter(({ row }) => row.state === "not_seen").map(({ row }) => row.client),
  );
  const due = new Set(dueNow(residents));
  return toChoose(
    residents.filter((one) => due.has(one) || unseen.has(one.client)),
    true,
  );
}

export function againOn(day: Day, weeks: number): Day {
  return daysAfter(day, 7 * weeks);
}

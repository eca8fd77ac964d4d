/** What the screen says of a proposal: the lines of the better day, or of the day as it is booked, and what speaks against it. */
import type { Proposal } from "../../domain/planning/of-day";
import type { LeftWhy } from "../../domain/planning/problem";
import type { Code } from "../../domain/schedule/objections";
import type { Day, Id } from "../../wire/types";
import { clockOf } from "../../words/format";
import { against, type Known } from "../booking/against";
import type { OrderStop } from "./to-order";

export interface Line {
  stop: OrderStop;
  starts: Date;
}

export interface Proposed {
  /** Minutes of driving; the day is offered anew only where it is one at least and every visit has its place. */
  saved: number;
  better: boolean;
  lines: Line[];
  /** Those whose clients are told another time. */
  tell: Line[];
  left: { booking: Id; name: string; reason: LeftWhy }[];
  /** When the last visit is over. */
  over: Date;
  codes: Code[];
}

/** The stops in the order in which they are booked, as they were given to `propose`. */
export function proposed(
  stops: readonly OrderStop[],
  { plan, now, then }: Proposal,
  day: Day,
  known: Known,
): Proposed {
  const saved = minutes(now.seconds) - minutes(then.seconds);
  const better = plan.left.length === 0 && saved >= 1;
  const booked = stops.map((stop) => ({ stop, starts: new Date(stop.row.starts_at) }));
  const planned = plan.visits.flatMap(({ stop, begins }) => {
    const held = stops[stop];
    return held ? [{ stop: held, starts: new Date(begins * 1000) }] : [];
  });
  const lines = better ? planned : booked;
  const tell = lines.filter(
    ({ stop, starts }) => new Date(stop.row.starts_at).getTime() !== starts.getTime(),
  );
  return {
    ...{ saved, better, lines, tell },
    left: plan.left.flatMap(({ stop, reason }) => {
      const held = stops[stop];
      return held ? [{ booking: held.booking, name: held.name, reason }] : [];
    }),
    over: new Date(Math.max(...lines.map(ended))),
    codes: codesOf(tell, day, known),
  };
}

/** Of those that move, each beside where all the others then stand. */
function codesOf(tell: readonly Line[], day: Day, known: Known): Code[] {
  const moved = new Map(tell.map(({ stop, starts }) => [stop.booking, starts.toISOString()]));
  const bookings = known.bookings.map((held) => {
    const starts_at = moved.get(held.id);
    return starts_at === undefined ? held : { ...held, row: { ...held.row, starts_at } };
  });
  const found = tell.flatMap(({ stop: { booking, row }, starts }) => {
    const client = known.clients.find(({ id }) => id === row.client);
    if (!client) return [];
    const when = { day, clock: clockOf(starts), minutes: row.minutes, staff: row.staff };
    return against(when, client, { ...known, bookings }, booking).codes;
  });
  return [...new Set(found)];
}

function ended({ stop, starts }: Line): number {
  return starts.getTime() + stop.row.minutes * 60_000;
}

function minutes(seconds: number): number {
  return Math.round(seconds / 60);
}

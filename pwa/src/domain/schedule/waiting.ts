/**
 * Who waits for a visit, whom a free time would suit, and who comes first. Nobody is offered a time against which
 * something speaks, but for "too late": whoever is overdue already waits no longer by it.
 */
import type { Day, Id, Instant } from "../../wire/types";
import { clockAt } from "../time-of-day";
import { type Around, objections, type Span, type Taken, taken, within } from "./objections";

/** Starts are looked for on whole five minutes, as people name times. */
export const STEP = 5;

/** What a client waits for: `last` is null for any later day, `times` empty for any of the week. */
export interface Wish {
  first: Day;
  last: Day | null;
  times: readonly Span[];
  minutes: number;
  staff: Id | null;
}

export function among(day: Day, { first, last }: Pick<Wish, "first" | "last">): boolean {
  return first <= day && (last === null || day <= last);
}

export type Standing = "waits" | "has_time" | "over" | "stopped";

/** `days` are those of the client's visits that are booked or made: one among the days of the wish fulfils it. */
export function standingOf(
  wish: Pick<Wish, "first" | "last"> & { state: "waiting" | "stopped" },
  days: readonly Day[],
  today: Day,
): Standing {
  if (wish.state === "stopped") return "stopped";
  if (days.some((day) => among(day, wish))) return "has_time";
  return wish.last !== null && wish.last < today ? "over" : "waits";
}

/**
 * A stretch of a technician's day, in minutes of it. A visit that is offered lies within `bounds` and takes at least
 * some of `free`.
 */
export interface Free {
  day: Day;
  staff: Id;
  free: Taken;
  bounds: Taken;
}

/** The starts that suit a wish, in minutes of the day: the nearest to the start of what is free first. */
export function startsFor(
  { day, staff, free, bounds }: Free,
  wish: Wish,
  around: Around,
): number[] {
  if (!among(day, wish) || (wish.staff !== null && wish.staff !== staff)) return [];
  const starts: number[] = [];
  const earliest = Math.max(bounds[0], free[0] - wish.minutes + 1);
  const latest = Math.min(bounds[1] - wish.minutes, free[1] - 1);
  for (let at = Math.ceil(earliest / STEP) * STEP; at <= latest; at += STEP) {
    if (isFree(at, day, wish, around)) starts.push(at);
  }
  return starts.sort((a, b) => Math.abs(a - free[0]) - Math.abs(b - free[0]) || a - b);
}

function isFree(at: number, day: Day, wish: Wish, around: Around): boolean {
  const asked = { day, starts: clockAt(at), minutes: wish.minutes };
  const ends = at + wish.minutes;
  const clash = around.others.map(taken).some(([starts, until]) => at < until && starts < ends);
  const inTimes = wish.times.length === 0 || wish.times.some((span) => within(asked, span));
  return !clash && inTimes && objections(asked, { ...around, latest: null }).length === 0;
}

/** Of starts that follow each other without a gap, the first. */
export function firstOfEach(starts: readonly number[]): number[] {
  return starts.filter((at) => !starts.includes(at - STEP)).toSorted((a, b) => a - b);
}

export interface InTurn {
  id: Id;
  since: Instant;
  /** The last day that was in time for their next visit, where one was said. */
  due_last: Day | null;
}

/** Whoever is overdue for a visit comes first, then whoever waits longest. */
export function inTurn<E extends InTurn>(entries: readonly E[], today: Day): E[] {
  return entries.toSorted(
    (a, b) =>
      Number(isOverdue(b, today)) - Number(isOverdue(a, today)) ||
      Date.parse(a.since) - Date.parse(b.since) ||
      (a.id < b.id ? -1 : Number(a.id > b.id)),
  );
}

export function isOverdue({ due_last }: Pick<InTurn, "due_last">, today: Day): boolean {
  return due_last !== null && due_last < today;
}

/**
 * What speaks against a visit at a time. A person may mean it all the same. All times are of the clock on the wall, in
 * the practice's zone. The twin is `schedule/rules/objections.py`; both run tests/parity/objections.json.
 */
import type { Day, WireRows } from "../../wire/types";
import type { CommandArgs } from "../commands";
import { minuteOf } from "../time-of-day";

export type Code = NonNullable<CommandArgs["book_visit"]["meant"]>[number];
type WorkingDay = WireRows["working_week"]["days"][number];
export type Span = WireRows["client"]["visit_times"][number];

/** The visit that is asked for, with its start as HH:MM. */
export interface Asked {
  day: Day;
  starts: string;
  minutes: number;
}

/** Another visit of the technician. `drive` are the guessed seconds between the doors; null where one is not known. */
export interface Other extends Omit<Asked, "day"> {
  drive: number | null;
}

/** Less time between two visits than the way takes, in minutes: the way to the visit that is asked for, or from it. */
export interface Squeeze {
  before: boolean;
  drive: number;
  between: number;
}

/** What is known of the technician's day, and of the client. */
export interface Around {
  /** Null where nobody has set the technician's hours. */
  week: readonly WorkingDay[] | null;
  /** First and last days on which they, or the whole practice, do not work. */
  off: readonly (readonly [first: Day, last: Day])[];
  /** Their other visits of that day. */
  others: readonly Other[];
  /** When the client is to be visited; empty for any time. */
  free: readonly Span[];
  /** The last day that is in time for the client's next visit, where that was said. */
  latest: Day | null;
}

/** Of a day off it says no more: the hours of such a day mean nothing. */
export function objections(asked: Asked, around: Around): Code[] {
  const found: Code[] = [];
  if (around.off.some(([first, last]) => first <= asked.day && asked.day <= last)) {
    found.push("day_off");
  } else if (around.week !== null) {
    found.push(...againstHours(asked, around.others, around.week));
  }
  if (squeezes(asked, around.others).length > 0) found.push("short_travel");
  if (around.free.length > 0 && !around.free.some((span) => within(asked, span)))
    found.push("client_not_free");
  if (around.latest !== null && asked.day > around.latest) found.push("too_late");
  return found;
}

/** From the visit before and to the one after. Two at one time are not for travel to say. */
export function squeezes(asked: Asked, others: readonly Other[]): Squeeze[] {
  const [starts, ends] = taken(asked);
  const spans = others.map((other) => ({ drive: other.drive, span: taken(other) }));
  const before = spans
    .filter(({ span }) => span[1] <= starts)
    .toSorted((a, b) => b.span[1] - a.span[1])[0];
  const after = spans
    .filter(({ span }) => span[0] >= ends)
    .toSorted((a, b) => a.span[0] - b.span[0])[0];
  return [
    ...(before ? squeeze(true, before.drive, starts - before.span[1]) : []),
    ...(after ? squeeze(false, after.drive, after.span[0] - ends) : []),
  ];
}

function squeeze(before: boolean, drive: number | null, between: number): Squeeze[] {
  if (drive === null || drive <= between * 60) return [];
  return [{ before, drive: Math.ceil(drive / 60), between }];
}

function againstHours(asked: Asked, others: Around["others"], week: readonly WorkingDay[]): Code[] {
  const hours = week.find((day) => within(asked, day));
  if (hours === undefined) return ["outside_hours"];
  const before = others.map(taken);
  const after = [...before, taken(asked)];
  const isLeft = hours.breaks.every((pause) => !fits(pause, before) || fits(pause, after));
  return isLeft ? [] : ["in_break"];
}

export function within(asked: Asked, span: Span): boolean {
  if (span.weekday !== weekdayOf(asked.day)) return false;
  const [starts, ends] = taken(asked);
  return minuteOf(span.starts) <= starts && ends <= minuteOf(span.ends);
}

/** Whether a break finds its minutes between the visits. */
function fits(
  { earliest, latest, minutes }: WorkingDay["breaks"][number],
  visits: readonly Taken[],
): boolean {
  const until = minuteOf(latest);
  let free = minuteOf(earliest);
  for (const [starts, ends] of visits.toSorted((a, b) => a[0] - b[0])) {
    if (Math.min(starts, until) - free >= minutes) return true;
    free = Math.max(free, ends);
  }
  return until - free >= minutes;
}

export type Taken = readonly [starts: number, ends: number];

export function taken({ starts, minutes }: Omit<Asked, "day">): Taken {
  const from = minuteOf(starts);
  return [from, from + minutes];
}

/** 0 is Monday. */
export function weekdayOf(day: Day): number {
  return (new Date(`${day}T00:00:00Z`).getUTCDay() + 6) % 7;
}

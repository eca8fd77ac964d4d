/**
 * The best order of a day, exactly: as many stops as can be, then the least driving, then the earliest end. Where the
 * given order is as good as any, it stays. The twin of the server's `planning/rules/exact.py`, which says how; both try
 * everything in the same order.
 */
import type { LeftWhy, Plan, PlanDay, PlanVisit } from "./problem";

export const MOST_STOPS = 12;

/** A day up to now: done at the last of `order` at `time`, with so many breaks taken. */
interface Trail {
  driving: number;
  time: number;
  order: readonly number[];
  taken: number;
  visits: readonly PlanVisit[];
  breaks: readonly number[];
}

export function best(day: PlanDay): Plan {
  if (day.stops.length > MOST_STOPS) throw new RangeError(`at most ${String(MOST_STOPS)} stops`);
  const everyone = day.stops.map((_, stop) => stop);
  const given = along(day, everyone);
  let found: Trail | null = null;
  for (const done of finished(day)) if (found === null || better(done, found)) found = done;
  found ??= setOut(day);
  if (given?.driving === found.driving && given.end === found.time) return given;
  const there = new Set(found.order);
  const left = everyone.filter((stop) => !there.has(stop));
  return { ...planOf(found), left: left.map((stop) => ({ stop, reason: why(day, stop) })) };
}

/** The plan of all these stops in this order; null where they can't be done so. */
export function along(day: PlanDay, order: readonly number[]): Plan | null {
  let trails = [setOut(day)];
  for (const stop of order) trails = kept(trails.flatMap((trail) => steps(day, trail, stop)));
  const ended = trails.flatMap((trail) => ends(day, trail));
  const first = ended.reduce<Trail | null>(
    (one, other) => (one === null || better(other, one) ? other : one),
    null,
  );
  return first && planOf(first);
}

function setOut(day: PlanDay): Trail {
  return { driving: 0, time: day.begins, order: [], taken: 0, visits: [], breaks: [] };
}

function planOf({ driving, time, visits, breaks }: Trail): Plan {
  return { driving, end: time, visits: [...visits], breaks: [...breaks], left: [] };
}

function better(one: Trail, other: Trail): boolean {
  if (one.order.length !== other.order.length) return one.order.length > other.order.length;
  if (one.driving !== other.driving) return one.driving < other.driving;
  if (one.time !== other.time) return one.time < other.time;
  return compared(one.order, other.order) < 0;
}

function compared(one: readonly number[], other: readonly number[]): number {
  const at = one.findIndex((stop, place) => stop !== other[place]);
  return at < 0 ? 0 : (one[at] ?? 0) - (other[at] ?? 0);
}

/** Every trail that may be the best, brought to the end of the day. */
function* finished(day: PlanDay): Generator<Trail> {
  const count = day.stops.length;
  // A set comes before all that hold it. Within one, by the last stop and the breaks taken.
  const trails: (Map<number, Trail[]> | undefined)[] = [new Map([[-1, [setOut(day)]]])];
  for (let been = 0; been < 1 << count; been += 1) {
    for (const held of trails[been]?.values() ?? []) {
      for (const trail of held) {
        yield* ends(day, trail);
        for (let stop = 0; stop < count; stop += 1) {
          if ((been >> stop) & 1) continue;
          for (const after of steps(day, trail, stop)) {
            const sets = (trails[been | (1 << stop)] ??= new Map<number, Trail[]>());
            const key = after.taken * count + stop;
            const others = sets.get(key);
            if (others) keep(others, after);
            else sets.set(key, [after]);
          }
        }
      }
    }
    trails[been] = undefined;
  }
}

function kept(trails: readonly Trail[]): Trail[] {
  const byBreaks = new Map<number, Trail[]>();
  for (const trail of trails) {
    const held = byBreaks.get(trail.taken) ?? [];
    keep(held, trail);
    byBreaks.set(trail.taken, held);
  }
  return [...byBreaks.values()].flat();
}

function keep(held: Trail[], added: Trail): void {
  if (held.some((trail) => atLeastAsGood(trail, added))) return;
  const rest = held.filter((trail) => !atLeastAsGood(added, trail));
  held.splice(0, held.length, ...rest, added);
}

function atLeastAsGood(one: Trail, other: Trail): boolean {
  if (one.driving === other.driving && one.time === other.time)
    return compared(one.order, other.order) <= 0;
  return one.driving <= other.driving && one.time <= other.time;
}

/** On to a stop, with each number of breaks before the drive and after it. */
function steps(day: PlanDay, trail: Trail, stop: number): Trail[] {
  const from = trail.order.at(-1);
  const drive = from === undefined ? day.first[stop] : day.drives[from]?.[stop];
  const asked = day.stops[stop];
  if (drive === null || drive === undefined || asked === undefined) return [];
  const found: Trail[] = [];
  for (const before of withBreaks(day, trail)) {
    const driving = before.driving + drive;
    const arrives = before.time + drive;
    for (const ready of withBreaks(day, { ...before, driving, time: arrives })) {
      const begins = beginning(day, stop, ready.time);
      if (begins === null) continue;
      const time = begins + asked.seconds;
      if (time > day.ends || missed(day, ready.taken, time)) continue;
      found.push({
        ...ready,
        time,
        order: [...trail.order, stop],
        visits: [...trail.visits, { stop, arrives, begins }],
      });
    }
  }
  return found;
}

function ends(day: PlanDay, trail: Trail): Trail[] {
  const from = trail.order.at(-1);
  const drive = from === undefined ? 0 : day.last[from];
  if (drive === null || drive === undefined) return [];
  return withBreaks(day, trail)
    .map((each) => ({ ...each, driving: each.driving + drive, time: each.time + drive }))
    .filter(({ time, taken }) => time <= day.ends && !missed(day, taken, time));
}

/** As it is, and with each number of breaks taken here and now. */
function withBreaks(day: PlanDay, trail: Trail): Trail[] {
  const found = [trail];
  let now = trail;
  for (const one of day.breaks.slice(trail.taken)) {
    const begins = Math.max(now.time, one.earliest);
    if (begins > one.latest) break;
    const breaks = [...now.breaks, begins];
    now = { ...now, time: begins + one.seconds, taken: now.taken + 1, breaks };
    found.push(now);
  }
  return found;
}

/** Whether it is too late for a break that was not taken. */
function missed(day: PlanDay, taken: number, now: number): boolean {
  return day.breaks.slice(taken).some(({ latest }) => now > latest);
}

function beginning(day: PlanDay, stop: number, ready: number): number | null {
  for (const [earliest, latest] of day.stops[stop]?.windows ?? []) {
    const begins = ready <= earliest ? earliest : Math.ceil(ready / day.grid) * day.grid;
    if (begins <= latest) return begins;
  }
  return null;
}

/** By itself in the same day, with one difficulty less each time. */
function why(day: PlanDay, stop: number): LeftWhy {
  const alone: PlanDay = {
    ...day,
    stops: day.stops.slice(stop, stop + 1),
    drives: [[0]],
    first: day.first.slice(stop, stop + 1),
    last: day.last.slice(stop, stop + 1),
  };
  if (along(alone, [0])) return "no_room";
  if (along({ ...alone, breaks: [] }, [0])) return "break_in_the_way";
  return along({ ...alone, breaks: [], first: [0], last: [0] }, [0]) ? "too_far" : "outside_hours";
}

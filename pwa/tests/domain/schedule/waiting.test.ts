/** Whom a free time suits, and who comes first. Check: our own rule, no source. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import { type Around, objections, within } from "../../../src/domain/schedule/objections";
import {
  type Free,
  firstOfEach,
  inTurn,
  isOverdue,
  standingOf,
  startsFor,
  type Wish,
} from "../../../src/domain/schedule/waiting";
import { clockAt, minuteOf } from "../../../src/domain/time-of-day";

const MONDAY = "2027-01-04";
const DAYS = ["2027-01-03", MONDAY, "2027-01-05"];

const clock = fc.integer({ min: 0, max: 287 }).map((step) => clockAt(step * 5));
const span = fc
  .tuple(fc.constantFrom(0, 0, 1), fc.uniqueArray(clock, { minLength: 2, maxLength: 2 }))
  .map(([weekday, ends]) => {
    const [starts = "", until = ""] = ends.toSorted();
    return { weekday, starts, ends: until };
  });
const stretch = fc
  .tuple(fc.integer({ min: 0, max: 1400 }), fc.integer({ min: 1, max: 400 }))
  .map(([from, long]) => [from, Math.min(from + long, 1440)] as const);
const mostly = <T>(plain: T, other: fc.Arbitrary<T>) =>
  fc.oneof({ arbitrary: fc.constant(plain), weight: 4 }, { arbitrary: other, weight: 1 });
const pause = mostly(
  [{ earliest: "11:30", latest: "14:00", minutes: 30 }],
  fc.constant<{ earliest: string; latest: string; minutes: number }[]>([]),
);
const around: fc.Arbitrary<Around> = fc.record({
  week: fc.option(
    fc.tuple(span, pause).map(([hours, breaks]) => [{ ...hours, weekday: 0, breaks }]),
  ),
  off: mostly<Around["off"]>([], fc.constant([[MONDAY, MONDAY] as const])),
  others: fc.array(
    fc.record({
      starts: clock,
      minutes: fc.integer({ min: 5, max: 120 }),
      drive: fc.option(fc.integer({ min: 0, max: 3600 })),
    }),
    { maxLength: 4 },
  ),
  free: mostly<Around["free"]>([], fc.array(span, { minLength: 1, maxLength: 2 })),
  latest: fc.constantFrom(null, "2027-01-01"),
});
const wish: fc.Arbitrary<Wish> = fc.record({
  first: mostly(MONDAY, fc.constantFrom(...DAYS)),
  last: mostly<string | null>(null, fc.constantFrom(...DAYS)),
  times: mostly<Wish["times"]>([], fc.array(span, { minLength: 1, maxLength: 2 })),
  minutes: fc.integer({ min: 5, max: 120 }),
  staff: mostly<string | null>("me", fc.constantFrom(null, "other")),
});
const free: fc.Arbitrary<Free> = fc.record({
  day: fc.constant(MONDAY),
  staff: fc.constant("me"),
  free: stretch,
  bounds: mostly<Free["bounds"]>([0, 1440], stretch),
});

/** Said anew, so that it can differ: whether a visit may stand there at all. */
function suits(at: number, where: Free, wished: Wish, known: Around): boolean {
  const asked = { day: where.day, starts: clockAt(at), minutes: wished.minutes };
  const until = at + wished.minutes;
  return [
    wished.first <= where.day && where.day <= (wished.last ?? "9999"),
    [null, where.staff].includes(wished.staff),
    where.bounds[0] <= at && until <= where.bounds[1],
    at < where.free[1] && where.free[0] < until,
    wished.times.length === 0 || wished.times.some((each) => within(asked, each)),
    known.others.every(
      ({ starts, minutes }) => until <= minuteOf(starts) || minuteOf(starts) + minutes <= at,
    ),
    objections(asked, { ...known, latest: null }).length === 0,
  ].every(Boolean);
}

describe("the starts for a wish", () => {
  it("are all that nothing speaks against, and no others, the nearest first", () => {
    let some = 0;
    fc.assert(
      fc.property(free, wish, around, (where, wished, known) => {
        const starts = startsFor(where, wished, known);
        const all = Array.from({ length: 288 }, (_, step) => step * 5);
        const fit = all.filter((at) => suits(at, where, wished, known));
        expect(starts.toSorted((a, b) => a - b)).toEqual(fit);
        const far = starts.map((at) => Math.abs(at - where.free[0]));
        expect(far).toEqual(far.toSorted((a, b) => a - b));
        some += Number(starts.length > 0);
      }),
      { numRuns: 400 },
    );
    expect(some).toBeGreaterThan(40);
  });

  it("are those of a freed hour, with the way and the break kept", () => {
    const known: Around = {
      week: [
        {
          ...{ weekday: 0, starts: "09:00", ends: "17:00" },
          breaks: [{ earliest: "12:00", latest: "13:00", minutes: 30 }],
        },
      ],
      ...{ off: [], free: [], latest: null },
      others: [{ starts: "10:00", minutes: 60, drive: 900 }],
    };
    const wished: Wish = { first: MONDAY, last: null, times: [], minutes: 45, staff: null };
    const where = { day: MONDAY, staff: "me", free: [660, 720], bounds: [540, 1020] } as const;
    const starts = startsFor(where, wished, known);
    // Fifteen minutes to drive after eleven; at 11:45 it would end at 12:30, which leaves the break its half-hour.
    expect(starts.map(clockAt)).toEqual([
      ...["11:15", "11:20", "11:25", "11:30", "11:35", "11:40", "11:45"],
    ]);
    expect(firstOfEach([675, 680, 800])).toEqual([675, 800]);
  });
});

describe("who comes first", () => {
  const entry = fc.record({
    id: fc.uuid(),
    since: fc.constantFrom("2027-01-01T10:00:00Z", "2027-01-01T10:00:00.5Z"),
    due_last: fc.constantFrom(null, ...DAYS),
  });

  it("does not hang on the order in which they stand, and is whoever is overdue", () => {
    const several = fc
      .uniqueArray(entry, { selector: ({ id }) => id, maxLength: 8 })
      .chain((all) =>
        fc.tuple(fc.constant(all), fc.shuffledSubarray(all, { minLength: all.length })),
      );
    fc.assert(
      fc.property(several, ([entries, mixed]) => {
        const turned = inTurn(entries, MONDAY);
        expect(inTurn(mixed, MONDAY)).toEqual(turned);
        const late = turned.map((each) => isOverdue(each, MONDAY));
        expect(late).toEqual(late.toSorted((a, b) => Number(b) - Number(a)));
        for (const [at, each] of turned.entries()) {
          const next = turned[at + 1];
          if (next && late[at] === late[at + 1])
            expect(Date.parse(each.since)).toBeLessThanOrEqual(Date.parse(next.since));
        }
      }),
    );
  });
});

describe("how it stands with an entry", () => {
  const asked = { first: "2027-01-04", last: "2027-01-15", state: "waiting" as const };

  it.each([
    ["2027-01-04", [], "waits"],
    ["2027-01-15", [], "waits"],
    ["2027-01-16", [], "over"],
    ["2027-01-04", ["2027-01-15"], "has_time"],
    ["2027-01-04", ["2027-01-03", "2027-01-16"], "waits"],
    ["2027-02-01", ["2027-01-04"], "has_time"],
  ] as const)("on %s, with %j booked, is %s", (today, days, standing) => {
    expect(standingOf(asked, days, today)).toBe(standing);
    expect(standingOf({ ...asked, state: "stopped" }, days, today)).toBe("stopped");
  });

  it("without a last day is never over, and any later visit fulfils it", () => {
    expect(standingOf({ ...asked, last: null }, [], "2029-01-01")).toBe("waits");
    expect(standingOf({ ...asked, last: null }, ["2028-01-01"], "2027-01-04")).toBe("has_time");
  });
});

/** Check: our own rules, counted by hand. */
import { expect, test } from "vitest";

import { type DayStop, problemOf, propose } from "../../../src/domain/planning/of-day";
import { inBoth, without } from "../../../src/domain/planning/periods";
import type { Travel } from "../../../src/domain/screening/book";

// A metre of straight line is one of road, and each takes 0.1 s.
const TRAVEL: Travel = { road_percent: 100, speeds: [{ up_to_m: null, km_h: 36 }] };
const NINE = 9 * 3600;
const NOON = 12 * 3600;
const DAY = { begins: 0, from: null, leaves: 0, to: null, ends: 86_400, breaks: [] };

/** So many kilometres north of a place on the equator; 1 km is 0.0089932 degrees. */
function stop(km: number, starts: number, more: Partial<DayStop> = {}): DayStop {
  const at = { lat: km * 0.008_993_2, lon: 0 };
  return {
    booking: String(km),
    at,
    starts,
    minutes: 30,
    free: [[0, 86_400]],
    locked: false,
    ...more,
  };
}

test("back and forth becomes one way, and what is driven is told for both", () => {
  const stops = [stop(0, NINE), stop(20, NINE + 3600), stop(10, NINE + 7200)];
  const { plan, now, then, moved } = propose(stops, DAY, TRAVEL);
  expect(plan.visits.map(({ stop: which }) => which)).toEqual([0, 2, 1]);
  expect([now.metres, then.metres].map((metres) => Math.round(metres / 100))).toEqual([300, 200]);
  // 30 minutes of work, 1,000 s of driving: 09:46:40, on the grid 09:50; then 10:20 and 1,000 s: 10:40.
  expect(moved).toEqual([
    { stop: 2, starts: NINE + 50 * 60 },
    { stop: 1, starts: NINE + 100 * 60 },
  ]);
});

test("a time that is kept is kept, and nobody comes before the day began", () => {
  const stops = [stop(0, NINE), stop(20, NOON, { locked: true }), stop(10, NOON + 3600)];
  const { plan } = propose(stops, DAY, TRAVEL);
  expect(plan.visits.find(({ stop: which }) => which === 1)?.begins).toBe(NOON);
  expect(Math.min(...plan.visits.map(({ begins }) => begins))).toBe(NINE);
});

test("the rest of a day begins where the last visit was", () => {
  const stops = [stop(0, NOON), stop(20, NOON + 3600)];
  const outset = { ...DAY, begins: NOON, from: stop(21, 0).at, leaves: NOON };
  const { plan, now, then } = propose(stops, outset, TRAVEL);
  expect(plan.visits.map(({ stop: which }) => which)).toEqual([1, 0]);
  expect([now.seconds, then.seconds].map((each) => Math.round(each / 10))).toEqual([410, 210]);
});

test("a day from a base counts the ways from it and back, and the first time is kept", () => {
  const stops = [stop(0, NINE), stop(10, NINE + 3600), stop(20, NINE + 7200)];
  const outset = { ...DAY, begins: NINE - 60, from: stop(30, 0).at, to: stop(19, 0).at };
  const { plan, now, then } = propose(stops, outset, TRAVEL);
  // As booked 30 + 10 + 10 + 1 km; at best 10 + 10 + 10 + 19 km: it ends in the south, but begins in the north.
  expect(Math.round(now.metres / 100)).toBe(510);
  expect(Math.round(then.metres / 100)).toBe(490);
  expect(Math.min(...plan.visits.map(({ begins }) => begins))).toBe(NINE);
  expect(plan.left).toEqual([]);
});

test("a visit as a whole lies where it may, and not before the day began", () => {
  const free = [
    [0, NOON],
    [NOON + 3600, NOON + 7200],
    [NOON + 9000, NOON + 9900],
  ] as const;
  const { stops } = problemOf([stop(0, NINE, { free })], DAY, TRAVEL);
  expect(stops[0]?.windows).toEqual([
    [NINE, NOON - 1800],
    [NOON + 3600, NOON + 5400],
  ]);
});

test("a break whose time is past is not asked for again", () => {
  const breaks = [NINE, NOON].map((at) => ({ earliest: at, latest: at + 60, seconds: 900 }));
  const { breaks: asked } = problemOf(
    [stop(0, NOON)],
    { ...DAY, begins: NINE + 61, breaks },
    TRAVEL,
  );
  expect(asked).toEqual(breaks.slice(1));
});

test("what is free of several at once, and what is left of it", () => {
  const day = [[8, 18]] as const;
  expect(
    inBoth(day, [
      [0, 9],
      [12, 20],
    ]),
  ).toEqual([
    [8, 9],
    [12, 18],
  ]);
  expect(
    without(day, [
      [7, 9],
      [12, 13],
      [13, 14],
      [17, 20],
    ]),
  ).toEqual([
    [9, 12],
    [14, 17],
  ]);
  expect(without(day, [[8, 18]])).toEqual([]);
  expect(without(day, [[20, 21]])).toEqual([[8, 18]]);
});

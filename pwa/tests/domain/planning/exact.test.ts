/** By hand; random days are held against the server's answers by tests/parity/test_random_days.py. */
import { expect, test } from "vitest";

import { along, best, MOST_STOPS } from "../../../src/domain/planning/exact";
import type { PlanDay } from "../../../src/domain/planning/problem";

const NINE = 9 * 3600;
const NOON = 12 * 3600;

/** Stops along a straight road, so many minutes from its beginning, half an hour of work each. */
function road(...at: number[]): PlanDay {
  return {
    begins: NINE,
    ends: 17 * 3600,
    stops: at.map(() => ({ seconds: 1800, windows: [[0, 86_400]] })),
    drives: at.map((a) => at.map((b) => Math.abs(a - b) * 60)),
    first: at.map((a) => a * 60),
    last: at.map((a) => a * 60),
    breaks: [],
    grid: 300,
  };
}

test("along a road nobody turns twice, and an order as good as any stays", () => {
  const turned = best(road(30, 10, 20));
  expect([turned.driving, turned.visits.map(({ stop }) => stop)]).toEqual([3600, [0, 2, 1]]);
  expect(best(road(30, 20, 10)).visits.map(({ stop }) => stop)).toEqual([0, 1, 2]);
  // To begin with the second would be earlier for a while; the last is at three o'clock anyway.
  const day = road(10, 10, 10, 10);
  const later = { seconds: 1800, windows: [[NINE + 3600, NOON + 7200]] } as const;
  const last = { seconds: 1800, windows: [[NOON + 10_800, NOON + 10_800]] } as const;
  day.stops = [later, ...day.stops.slice(1, 3), last];
  expect(best(day).visits.map(({ stop }) => stop)).toEqual([0, 1, 2, 3]);
});

test("a break is taken between two stops, and begins are on the grid", () => {
  const day = { ...road(7, 12), breaks: [{ earliest: NINE, latest: NOON, seconds: 900 }] };
  const plan = along(day, [0, 1]);
  expect(plan?.visits.every(({ begins }) => begins % 300 === 0)).toBe(true);
  // Home by 10:29 at the latest: over before noon, so no break is due.
  expect(plan?.breaks).toEqual([]);
});

test("what has no place says why", () => {
  const day = road(10, 11);
  day.stops = [...day.stops.slice(1), { seconds: 1800, windows: [[NINE, NINE + 60]] }];
  expect(best(day).left).toEqual([{ stop: 1, reason: "too_far" }]);
  expect(along(day, [0, 1])).toBeNull();
});

test("twelve stops, and no more", () => {
  const twelve = road(...Array.from({ length: MOST_STOPS }, (_, at) => (at * 7) % 13));
  // Half an hour each from nine to five leaves room for all, with 12 minutes out and back.
  expect(best(twelve)).toMatchObject({ driving: 24 * 60, left: [] });
  expect(() => best(road(...Array.from({ length: MOST_STOPS + 1 }, () => 1)))).toThrow("at most");
});

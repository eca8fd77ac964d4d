/** Check: our own rules; 2026-11-28 is a Saturday (Gregorian calendar). */
import { beforeAll, expect, test } from "vitest";

import type { Proposal } from "../../domain/planning/of-day";
import { setPlace } from "../../words/format";
import type { Known } from "../booking/against";
import { proposed } from "./proposed";
import type { OrderStop } from "./to-order";

beforeAll(() => {
  setPlace({ zone: "Europe/London", units: "mm" }, ["en-GB"]);
});

const DAY = "2026-11-28";
const CLOCKS = { near: "10:00", far: "11:00", middle: "12:00" };
const SATURDAY = { weekday: 5, starts: "09:00", ends: "13:00", breaks: [] };
const MONDAY = { ...SATURDAY, weekday: 0 };
const epoch = (clock: string) => Date.parse(`${DAY}T${clock}:00Z`) / 1000;

const bookings = Object.entries(CLOCKS).map(([id, clock]) => ({
  ...{ id, version: 7 },
  row: {
    ...{ client: id, staff: "me", state: "booked", place: "home", minutes: 30, round: null },
    starts_at: `${DAY}T${clock}:00Z`,
  },
}));
const STOPS = bookings.map(({ id, row }) => ({
  ...{ booking: id, client: id, name: id, row },
  starts: Date.parse(row.starts_at) / 1000,
})) as unknown as OrderStop[];

function known(more: object = {}): Known {
  const clients = STOPS.map(({ client: id }) => ({ id, row: { facility: null, position: null } }));
  const none = { visits: [], facilities: [], off: [], travel: null };
  return { ...none, bookings, clients, weeks: [], ...more } as unknown as Known;
}

function hours(...days: object[]): object {
  return { weeks: [{ id: "me", row: { days } }] };
}

/** The stops by their number with when they begin, and the driving in minutes. */
function planned(order: [number, string][], [now, then]: [number, number]): Proposal {
  const visits = order.map(([stop, clock]) => ({ stop, arrives: 0, begins: epoch(clock) }));
  const lost = STOPS.map((_, stop) => stop).filter((stop) => !order.some(([on]) => on === stop));
  const left = lost.map((stop) => ({ stop, reason: "no_room" as const }));
  const plan = { driving: then * 60, end: epoch("15:00"), visits, breaks: [], left };
  const [one, other] = [now, then].map((minutes) => ({ metres: 0, seconds: minutes * 60 }));
  return { plan, now: one, then: other, moved: [] } as unknown as Proposal;
}

const BETTER = planned(
  [
    [0, "10:00"],
    [2, "10:40"],
    [1, "11:20"],
  ],
  [30, 20],
);

function shown(proposal: Proposal, rows = known()) {
  const told = proposed(STOPS, proposal, DAY, rows);
  const names = told.lines.map(({ stop, starts }) => `${stop.name} ${starts.toISOString()}`);
  return { ...told, names, told: told.tell.map(({ stop }) => stop.name) };
}

test("a better day is listed as it would be, over when its last visit is, not when one is home", () => {
  const { saved, better, names, told, over } = shown(BETTER);
  expect([saved, better, told]).toEqual([10, true, ["middle", "far"]]);
  expect(names.map((name) => name.split(" ")[0])).toEqual(["near", "middle", "far"]);
  expect(over.toISOString()).toBe(`${DAY}T11:50:00.000Z`);
});

// As it is booked, it may keep no hours or breaks, which the best one has to: that can be longer.
test.each([30, 20])("a day whose best order is no better is listed as it is booked: %s", (now) => {
  const { better, names, told, codes } = shown(
    planned(
      [
        [1, "10:00"],
        [0, "11:00"],
        [2, "12:00"],
      ],
      [now, 30],
    ),
    known(hours(MONDAY)),
  );
  expect([better, told, codes]).toEqual([false, [], []]);
  expect(names).toEqual(
    Object.entries(CLOCKS).map(([name, clock]) => `${name} ${DAY}T${clock}:00.000Z`),
  );
});

test("what has no place is named, and all of the day is listed as it is booked", () => {
  const { better, names, left } = shown(planned([[2, "10:00"]], [30, 0]));
  expect(better).toBe(false);
  expect(names.map((name) => name.split(" ")[0])).toEqual(["near", "far", "middle"]);
  expect(left.map(({ booking, reason }) => [booking, reason])).toEqual([
    ["near", "no_room"],
    ["far", "no_room"],
  ]);
});

test("what the server would ask about is said: outside of the hours, a day off, and nothing else", () => {
  const off = [{ id: "off", row: { staff: null, first: DAY, last: DAY } }];
  expect(shown(BETTER).codes).toEqual([]);
  expect(shown(BETTER, known(hours(SATURDAY))).codes).toEqual([]);
  expect(shown(BETTER, known(hours(MONDAY))).codes).toEqual(["outside_hours"]);
  expect(shown(BETTER, known({ ...hours(MONDAY), off })).codes).toEqual(["day_off"]);
});

test("a break is judged by where all stand then, not beside where they stood", () => {
  const pause = { earliest: "12:00", latest: "12:30", minutes: 30 };
  const saturday = hours({ ...SATURDAY, breaks: [pause] });
  expect(shown(BETTER, known(saturday)).codes).toEqual([]);
  const late: [number, string][] = [
    [0, "10:00"],
    [2, "11:20"],
    [1, "12:10"],
  ];
  expect(shown(planned(late, [30, 20]), known(saturday)).codes).toEqual(["in_break"]);
});

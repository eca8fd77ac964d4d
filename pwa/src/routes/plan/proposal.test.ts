/** What the screen makes of a plan, of what is booked by now, and of what a person changed. Check: our own rules. */
import { beforeAll, expect, test } from "vitest";

import type { Held } from "../../store";
import type { DaysPlan } from "../../wire/types";
import { setPlace } from "../../words/format";
import { askedAgain, daysOf, doubts, noChanges, open, type PlanRows } from "./proposal";

beforeAll(() => {
  setPlace({ zone: "Europe/London", units: "mm" }, ["en-GB"]);
});

// 2027-01-04 is a Monday, and London is at UTC on it.
const DAY = "2027-01-04";
const HOURS = [{ weekday: 0, starts: "09:00", ends: "17:00", breaks: [] }];
const LUNA = { lat: 51.5, lon: 0 };
const TRAVEL = { road_percent: 100, speeds: [{ up_to_m: null, km_h: 60 }] };
const ROWS = {
  ...{ bookings: [], visits: [], off: [], facilities: [], travel: TRAVEL },
  weeks: ["ann", "bo"].map((id) => ({ id, row: { days: HOURS } })),
  clients: ["luna", "mia"].map((id, north) => ({
    id,
    row: { facility: null, visit_times: [], position: { ...LUNA, lat: 51.5 + north * 0.09 } },
  })),
  bases: [{ id: "ann", row: { position: LUNA } }],
} as unknown as PlanRows;

function visit(client: string, clock: string, booking: string | null = null) {
  const starts_at = `${DAY}T${clock}:00Z`;
  return { client, booking, starts_at, minutes: 30, place: "home", service: "", fixed: false };
}

function plan(...visits: ReturnType<typeof visit>[]): DaysPlan {
  const driving = { visits: 0, seconds: 0, metres: 0 };
  const day = { staff: "ann", day: DAY, visits, breaks: [], ends_at: "", kept: null };
  return {
    days: [{ ...day, seconds: 77, metres: 7 }],
    ...{ not_placed: [], planned: driving, by_hand: driving, without_hours: [] },
    guessed: true,
  };
}

function booking(client: string, clock: string) {
  const at = { starts_at: `${DAY}T${clock}:00Z`, minutes: 30, place: "home", state: "booked" };
  return { id: `of ${client}`, row: { client, staff: "ann", ...at } } as unknown as Held<"booking">;
}

const BOTH = plan(visit("luna", "09:00"), visit("mia", "10:00"));
const order = ["ann", "bo"];

test("a day that was not changed has the server's figures, another one guessed ways", () => {
  const [planned] = daysOf(BOTH, noChanges("r"), ROWS, order);
  expect([planned?.metres, planned?.seconds]).toEqual([7, 77]);
  const changes = {
    ...noChanges("r"),
    moved: { luna: { day: DAY, clock: "14:00", staff: "ann" } },
  };
  const [day] = daysOf(BOTH, changes, ROWS, order);
  // Nine hundredths of a degree of latitude are 10,008 m; there and back, a kilometre a minute.
  expect([day?.metres, day?.seconds]).toEqual([20_016, 1200]);
});

test("what is booked by now stands where it is booked, and is not proposed again", () => {
  const rows = { ...ROWS, bookings: [booking("luna", "15:00")] };
  const [day] = daysOf(BOTH, noChanges("r"), rows, order);
  expect(day?.stops.map(({ client, booking: id }) => [client, id])).toEqual([
    ["mia", null],
    ["luna", "of luna"],
  ]);
  // One that stood and was called off since is gone.
  expect(daysOf(plan(visit("luna", "09:00", "gone")), noChanges("r"), ROWS, order)).toEqual([]);
});

test("who is left out is gone, and who is moved is on the other day", () => {
  const changes = {
    ...noChanges("r"),
    left_out: ["luna"],
    moved: { mia: { day: "2027-01-05", clock: "11:00", staff: "bo" } },
  };
  const days = daysOf(BOTH, changes, ROWS, order);
  expect(days.map(({ day, staff }) => [day, staff])).toEqual([["2027-01-05", "bo"]]);
  // Nobody works on a Tuesday.
  expect(doubts(days).map(({ codes }) => codes)).toEqual([["outside_hours"]]);
});

test("two that are moved to where the way is too short speak against each other", () => {
  const changes = {
    ...noChanges("r"),
    moved: { mia: { day: DAY, clock: "09:35", staff: "ann" } },
  };
  const days = daysOf(BOTH, changes, ROWS, order);
  expect(doubts(days).map(({ stop, codes }) => [stop.client, codes])).toEqual([
    ["luna", ["short_travel"]],
    ["mia", ["short_travel"]],
  ]);
  expect(doubts(daysOf(BOTH, noChanges("r"), ROWS, order))).toEqual([]);
});

test("what fits by the roads is not asked about for a guess, and is booked as meant", () => {
  const tight = { ...plan(visit("luna", "09:00"), visit("mia", "09:35")), guessed: false };
  const [day] = daysOf(tight, noChanges("r"), ROWS, order);
  expect(doubts(day ? [day] : [])).toEqual([]);
  expect([day?.meant, day?.stops.flatMap(({ codes }) => codes)]).toEqual([["short_travel"], []]);
  const asked = (changes = noChanges("r"), bookings: Held<"booking">[] = [], guessed = false) =>
    doubts(daysOf({ ...tight, guessed }, changes, { ...ROWS, bookings }, order)).length;
  expect(asked()).toBe(0);
  // A guess against a guess; one that was moved; one that somebody else booked since.
  expect(asked(noChanges("r"), [], true)).toBe(2);
  const later = { day: DAY, clock: "09:36", staff: "ann" };
  expect(asked({ ...noChanges("r"), moved: { mia: later } })).toBe(2);
  expect(asked(noChanges("r"), [booking("zoe", "16:00")])).toBe(2);
});

test("asked again, what was kept and moved stays and who was left out stays out", () => {
  const changes = {
    ...{ run: "r", left_out: ["zoe"], kept: ["luna"] },
    moved: { mia: { day: DAY, clock: "12:00", staff: "bo" } },
  };
  const days = daysOf(BOTH, changes, ROWS, order);
  expect(days.flatMap(open)).toHaveLength(2);
  const asked = { first: DAY, last: DAY, staff: order, fixed: [], left_out: [] };
  expect(askedAgain(asked, days, changes)).toEqual({
    ...asked,
    left_out: ["zoe"],
    fixed: [
      { client: "luna", staff: "ann", starts_at: `${DAY}T09:00:00.000Z` },
      { client: "mia", staff: "bo", starts_at: `${DAY}T12:00:00.000Z` },
    ],
  });
});

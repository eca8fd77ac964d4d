/** Check: our own rules. */
import { expect, test } from "vitest";

import type { Held } from "../../store";
import { type DayRows, toOrder } from "./to-order";

const DAY = "2026-11-28";
const HOME = { lat: 51.5, lon: -0.1, source: "device", accuracy_m: 5 } as const;
const HOUSE = { lat: 51.6, lon: -0.2, source: "typed", accuracy_m: null } as const;

function held<K extends "booking" | "client" | "facility" | "visit" | "working_week" | "base">(
  id: string,
  row: Partial<Held<K>["row"]>,
): Held<K> {
  return { id, row, version: 7, pending: false } as unknown as Held<K>;
}

function booked(id: string, clock: string, more: Partial<Held<"booking">["row"]> = {}) {
  const at = { starts_at: `${DAY}T${clock}:00Z`, minutes: 30 };
  const row = { ...at, client: "ana", staff: "me", place: "home", state: "booked" } as const;
  return held<"booking">(id, { ...row, round: null, ...more });
}

const ROWS: DayRows = {
  bookings: [booked("late", "14:00"), booked("early", "10:00")],
  clients: [
    held<"client">("ana", { name: "Ana", facility: null, position: HOME, phone: "1" }),
    held<"client">("bo", { name: "Bo", facility: "house", phone: "" }),
    held<"client">("cy", { name: "Cy", facility: null, phone: "" }),
  ],
  facilities: [
    held<"facility">("house", {
      position: HOUSE,
      quiet_times: [{ name: "Lunch", starts: "12:00", ends: "13:00" }],
    }),
  ],
  visits: [],
  weeks: [],
  bases: [],
};
const ASKED = {
  ...{ me: "me", day: DAY, locked: ["late"] },
  // A kilometre a minute.
  travel: { road_percent: 100, speeds: [{ up_to_m: null, km_h: 60 }] },
  now: new Date(`${DAY}T09:00:00Z`),
  dayOf: (at: string | Date) => new Date(at).toISOString().slice(0, 10),
  moment: (day: string, clock: string) => new Date(`${day}T${clock}:00Z`),
};
const MIDNIGHT = Date.parse("2026-11-29T00:00:00Z") / 1000;
const epoch = (clock: string) => Date.parse(`${DAY}T${clock}:00Z`) / 1000;

test("my booked visits of the day, by their times, each with its place", () => {
  const { stops, unknown, outset } = toOrder(ROWS, ASKED);
  expect(stops.map(({ booking, locked, at }) => [booking, locked, at])).toEqual([
    ["early", false, HOME],
    ["late", true, HOME],
  ]);
  expect(unknown).toEqual([]);
  const begins = epoch("09:00");
  const day = { ends: MIDNIGHT, to: null, breaks: [] };
  expect(outset).toEqual({ begins, from: null, leaves: begins, ...day });
});

test("a time that has gone by is told", () => {
  const later = { ...ASKED, now: new Date(`${DAY}T10:00:01Z`) };
  expect(toOrder(ROWS, ASKED).stops.map(({ gone }) => gone)).toEqual([false, false]);
  expect(toOrder(ROWS, later).stops.map(({ gone }) => gone)).toEqual([true, false]);
});

test("a day goes from my base, where it is known, and ends there", () => {
  const position = { lat: 51.4, lon: 0, source: "typed", accuracy_m: null } as const;
  const bases = [held<"base">("me", { position }), held<"base">("you", { position: HOUSE })];
  const rows = { ...ROWS, bases };
  const eve = { ...ASKED, now: new Date("2026-11-27T09:00:00Z") };
  expect(toOrder(rows, eve).outset).toMatchObject({ from: position, leaves: 0, to: position });
  const begun = { booking: "early", started_at: `${DAY}T10:05:00Z`, state: "completed" } as const;
  const now = new Date(`${DAY}T11:00:00Z`);
  const visits = [held<"visit">("v", begun)];
  expect(toOrder({ ...rows, visits }, { ...ASKED, now }).outset).toMatchObject({
    ...{ begins: epoch("11:00"), from: HOME, leaves: epoch("11:00"), to: position },
  });
});

test("the rest of today begins on whole five minutes, after the drive from the base", () => {
  // 11.1 km straight north: eleven minutes.
  const position = { ...HOME, lat: HOME.lat - 0.1 };
  const rows = { ...ROWS, bases: [held<"base">("me", { position })] };
  const at = (clock: string) => {
    const { begins, leaves } = toOrder(rows, {
      ...ASKED,
      now: new Date(epoch(clock) * 1000),
    }).outset;
    return [begins - epoch(clock), leaves - epoch(clock)].map((seconds) =>
      Math.round(seconds / 60),
    );
  };
  expect(at("09:17")).toEqual([3, 0]);
  // On the way since 9:49, to be there at ten.
  expect(at("09:57")).toEqual([3, -8]);
  // They are late, and nobody knows where.
  expect(at("10:17")).toEqual([3, 0]);
});

test("what is not mine, not of the day, not booked or begun does not count", () => {
  const bookings = [
    booked("theirs", "10:00", { staff: "you" }),
    booked("tomorrow", "10:00", { starts_at: "2026-11-29T10:00:00Z" }),
    booked("off", "10:00", { state: "cancelled" }),
    booked("not seen", "10:00", { state: "not_seen" }),
    booked("begun", "10:00"),
  ];
  const begun = { booking: "begun", started_at: `${DAY}T10:05:00Z`, state: "started" } as const;
  const visits = [held<"visit">("v", begun)];
  const { stops, outset } = toOrder({ ...ROWS, bookings, visits }, ASKED);
  expect(stops).toEqual([]);
  // There till the half hour that was booked is over.
  expect([outset.from, outset.begins]).toEqual([HOME, epoch("10:35")]);
});

test("a resident is in the house, outside its quiet times, and a round keeps its time", () => {
  const bookings = [booked("bo", "10:00", { client: "bo", place: "facility", round: "r" })];
  const { stops } = toOrder({ ...ROWS, bookings }, ASKED);
  expect(stops).toMatchObject([
    {
      ...{ at: HOUSE, in_round: true, locked: true },
      free: [
        [epoch("00:00"), epoch("12:00")],
        [epoch("13:00"), MIDNIGHT],
      ],
    },
  ]);
});

test("nobody is moved out of the technician's hours or the client's times", () => {
  // 2026-11-28 is a Saturday, 5.
  const lunch = { earliest: "12:00", latest: "14:00", minutes: 30 };
  const days = [{ weekday: 5, starts: "09:00", ends: "17:00", breaks: [lunch] }];
  const visit_times = [
    { weekday: 5, starts: "08:00", ends: "12:00" },
    { weekday: 4, starts: "14:00", ends: "15:00" },
  ];
  const clients = [held<"client">("ana", { position: HOME, facility: null, visit_times })];
  const weeks = [held<"working_week">("me", { days })];
  const { stops, outset } = toOrder({ ...ROWS, clients, weeks }, { ...ASKED, locked: [] });
  expect(stops.map(({ booking, free, locked }) => [booking, free, locked])).toEqual([
    ["early", [[epoch("09:00"), epoch("12:00")]], false],
    // It was meant to be at another time, and stays there.
    ["late", [[epoch("09:00"), epoch("12:00")]], true],
  ]);
  expect(outset.breaks).toEqual([
    { earliest: epoch("12:00"), latest: epoch("13:30"), seconds: 1800 },
  ]);
});

test("whose place nobody knows is named", () => {
  const { stops, unknown } = toOrder(
    { ...ROWS, bookings: [booked("cy", "10:00", { client: "cy" })] },
    ASKED,
  );
  expect([stops, unknown]).toEqual([[], [{ client: "cy", name: "Cy", facility: null }]]);
});

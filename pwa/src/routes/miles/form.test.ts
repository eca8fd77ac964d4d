/** The form of a day of travel. Our own rules; a mile is 1,609.344 m (from memory), the sums by hand. */
import { expect, it } from "vitest";

import {
  blankDay,
  blankLeg,
  type DayForm,
  formOf,
  isLess,
  notTold,
  proposed,
  restAsPrivate,
  runsBack,
  sharedOut,
  toldOf,
} from "./form";

const leg = (distance: number | null) => ({ ...blankLeg("client"), distance });
const form = (more: Partial<DayForm>): DayForm => ({ ...blankDay(), vehicle: "v", ...more });
const READ = { odometer_start: 41_230, odometer_end: 41_242.5 };

it("proposes a guess as a guess, in the vehicle's unit", () => {
  const way = { start: "Home", end: "1 Elm Road", purpose: "client" as const, estimated_m: 8047 };
  const inMiles = { distance: 5, known: "estimate" };
  expect(proposed([way], "mile")[0]).toMatchObject(inMiles);
  expect(proposed([way], "km")[0]).toMatchObject({ distance: 8, known: "estimate" });
  const unknown = { distance: null, known: "typed" };
  expect(proposed([{ ...way, estimated_m: null }], "km")[0]).toMatchObject(unknown);
});

it("shares the odometer's distance out by how long the ways were thought to be", () => {
  const day = form({ ...READ, legs: [leg(4), leg(6), leg(null)] });
  const legs = sharedOut(day);
  expect(legs.map(({ distance }) => distance)).toEqual([5, 7.5, 0]);
  expect(new Set(legs.map(({ known }) => known))).toEqual(new Set(["odometer"]));
});

it("leaves the ways as they are while a reading is missing", () => {
  const legs = [leg(4)];
  expect(sharedOut(form({ odometer_start: 1, legs }))).toBe(legs);
});

it("tells what of the odometer no way tells, and takes it for private where told to", () => {
  const day = form({ ...READ, legs: [leg(4), leg(6)] });
  expect(notTold(day)).toBe(25);
  const rest = restAsPrivate(day).at(-1);
  expect(rest).toMatchObject({ purpose: "private", distance: 2.5, known: "odometer" });
  expect(notTold(form({ ...READ, legs: [leg(20)] }))).toBe(-75);
  expect(notTold(form({ legs: [leg(20)] }))).toBeNull();
});

it("sees an odometer that runs back", () => {
  expect(runsBack(form({ odometer_start: 10, odometer_end: 9.9 }))).toBe(true);
  expect(runsBack(form({ odometer_start: 10, odometer_end: 10 }))).toBe(false);
});

it("sees that it shows less than it did the last time", () => {
  expect(isLess(form({ odometer_start: 10 }), 101)).toBe(true);
  expect(isLess(form({ odometer_start: 10.1 }), 101)).toBe(false);
  expect(isLess(form({}), 101)).toBe(false);
  expect(isLess(form({ odometer_start: 10 }), null)).toBe(false);
});

it("is told in tenths, and comes back as it was typed", () => {
  const day = form({ ...READ, legs: [leg(3.7), leg(null)], note: " Snow ", replaces: ["t0"] });
  const told = toldOf(day, "t1", "2026-03-02");
  expect(told).toMatchObject({ odometer_end: 412_425, note: "Snow", replaces: ["t0"] });
  expect(told.legs.map(({ tenths }) => tenths)).toEqual([37, null]);
  const row = { ...told, staff: "me", told_at: "2026-03-02T18:00:00Z" };
  const again = formOf([{ id: "t1", row }]);
  expect(again).toMatchObject({ ...day, note: "Snow", replaces: ["t1"] });
});

it("corrects both of a day that was told twice", () => {
  const row = { ...toldOf(form({}), "t1", "2026-03-02"), staff: "me", told_at: "" };
  const told = [
    { id: "t1", row },
    { id: "t2", row },
  ];
  expect(formOf(told).replaces).toEqual(["t1", "t2"]);
});

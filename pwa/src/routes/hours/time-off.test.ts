/** Which days off are shown, and what a form of them lacks. Check: our own rule. */
import { beforeAll, describe, expect, it } from "vitest";

import type { Held } from "../../store";
import { setPlace } from "../../words/format";
import { bookedOn, comingOff, offForm, wrongOff } from "./time-off";

function off(id: string, staff: string | null, first: string, last = first) {
  return { id, row: { staff, first, last, name: "" } } as Held<"time_off">;
}

function booking(id: string, staff: string, starts_at: string, state = "booked") {
  return { id, row: { staff, starts_at, state } } as Held<"booking">;
}

beforeAll(() => {
  setPlace({ zone: "Europe/Berlin", units: "mm" }, ["en-GB"]);
});

describe("days off", () => {
  it("are one's own and the practice's, from today on, the first one first", () => {
    const all = [
      off("later", "me", "2026-12-24", "2026-12-27"),
      off("theirs", "other", "2026-12-01"),
      off("today", null, "2026-11-25"),
      off("running", "me", "2026-11-20", "2026-11-26"),
      off("over", "me", "2026-11-20", "2026-11-24"),
    ];
    const shown = comingOff(all, "me", "2026-11-25").map(({ id }) => id);
    expect(shown).toEqual(["running", "today", "later"]);
  });

  it("need a first day, and no last day before it", () => {
    expect(wrongOff(offForm())).toEqual(["time_off.first"]);
    expect(wrongOff({ ...offForm(), first: "2026-12-01" })).toEqual([]);
    expect(wrongOff({ ...offForm(), first: "2026-12-02", last: "2026-12-01" })).toEqual([
      "time_off.last",
    ]);
  });
});

describe("visits on days off", () => {
  const bookings = [
    booking("last day", "me", "2026-12-03T22:30:00Z"),
    // Half past midnight where the practice is.
    booking("day after", "me", "2026-12-03T23:30:00Z"),
    booking("first day", "me", "2026-11-30T23:30:00Z"),
    booking("day before", "me", "2026-11-30T22:30:00Z"),
    booking("theirs", "other", "2026-12-02T09:00:00Z"),
    booking("cancelled", "me", "2026-12-02T09:00:00Z", "cancelled"),
  ];
  const days = { ...offForm(), first: "2026-12-01", last: "2026-12-03" };
  const shown = (form: typeof days) => bookedOn(form, bookings, "me").map(({ id }) => id);

  it("are the person's own that still stand, by the practice's days, the first one first", () => {
    expect(shown(days)).toEqual(["first day", "last day"]);
    expect(shown({ ...days, last: "" })).toEqual(["first day"]);
  });

  it("are everybody's where the whole practice is off", () => {
    expect(shown({ ...days, who: "all" })).toEqual(["first day", "theirs", "last day"]);
  });

  it("are none while the form lacks its days", () => {
    expect(shown(offForm())).toEqual([]);
    expect(shown({ ...days, last: "2026-11-30" })).toEqual([]);
  });
});

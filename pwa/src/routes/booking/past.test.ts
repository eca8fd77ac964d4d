/** When a start is asked about, and what a booking lacks. Our own rule. */
import { beforeAll, describe, expect, it } from "vitest";

import { setPlace } from "../../words/format";
import { lacking, pastStart } from "./past";

const NOW = new Date("2026-11-25T12:00:00Z");
beforeAll(() => {
  setPlace({ zone: "Europe/London", units: "mm" }, ["en-GB"]);
});

describe("a start that is past", () => {
  it("is asked about, by the day and the clock of the practice", () => {
    const early = pastStart({ day: "2026-11-25", clock: "11:59" }, NOW);
    expect(early?.toISOString()).toBe("2026-11-25T11:59:00.000Z");
    expect(pastStart({ day: "2026-11-24", clock: "23:00" }, NOW)).not.toBeNull();
    expect(pastStart({ day: "2026-11-25", clock: "12:00" }, NOW)).toBeNull();
    // Summer time: half past twelve there is half past eleven in UTC.
    const summer = new Date("2026-07-01T11:45:00Z");
    expect(pastStart({ day: "2026-07-01", clock: "12:30" }, summer)).not.toBeNull();
  });

  it("is not asked about where it stood there already, or is not filled in yet", () => {
    const stood = "2026-11-25T09:00:00Z";
    expect(pastStart({ day: "2026-11-25", clock: "09:00" }, NOW, stood)).toBeNull();
    expect(pastStart({ day: "2026-11-25", clock: "09:30" }, NOW, stood)).not.toBeNull();
    expect(pastStart({ day: "2026-11-24", clock: "" }, NOW)).toBeNull();
    expect(pastStart({ day: "", clock: "09:00" }, NOW)).toBeNull();
  });
});

describe("what a booking lacks", () => {
  it("is named field by field", () => {
    const whole = { day: "2026-11-25", clock: "09:00", minutes: 60, staff: "t" };
    expect(lacking(whole)).toEqual([]);
    expect(lacking({ ...whole, clock: "", minutes: null })).toEqual([
      "booking.time",
      "booking.minutes",
    ]);
    expect(lacking({ ...whole, day: "", staff: "" })).toEqual([
      "booking.day",
      "booking.technician",
    ]);
  });
});

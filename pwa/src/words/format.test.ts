/** Dates in the practice's zone, and lengths in its units. 25.4 mm to the inch: international inch, 1959 (published). */
import fc from "fast-check";
import { beforeEach, describe, expect, it } from "vitest";

import { clockOf, clockSpan, dayKey, fromMm, length, moment, setPlace, time, toMm } from "./format";

beforeEach(() => {
  setPlace({ zone: "Europe/London", units: "mm" }, ["en-GB"]);
});

describe("a moment", () => {
  it("is shown in the practice's zone, whatever the phone's", () => {
    setPlace({ zone: "America/Chicago", units: "in" }, ["en-US"]);
    expect(dayKey("2026-11-25T03:30:00Z")).toBe("2026-11-24");
    expect(clockOf("2026-11-25T03:30:00Z")).toBe("21:30");
    expect(time("2026-11-25T03:30:00Z")).toMatch(/^9:30\sPM$/);
  });

  it("comes back from its wall clock, on days of a clock change too", () => {
    const year = { min: new Date("2026-01-01"), max: new Date("2027-12-31"), noInvalidDate: true };
    fc.assert(
      fc.property(
        fc.date(year),
        fc.constantFrom(
          "Europe/London",
          "America/Chicago",
          "Australia/Lord_Howe",
          "Asia/Kathmandu",
        ),
        (at, zone) => {
          setPlace({ zone, units: "mm" }, ["en-GB"]);
          const again = moment(dayKey(at), clockOf(at));
          // In the hour that comes twice, either of the two is right: the wall clock is what is shown.
          expect([dayKey(again), clockOf(again)]).toEqual([dayKey(at), clockOf(at)]);
        },
      ),
      { numRuns: 300 },
    );
  });
});

describe("a length", () => {
  it("is kept in millimetres and read in the practice's units", () => {
    expect(length(14)).toBe("14 mm");
    setPlace({ zone: "America/Chicago", units: "in" }, ["en-US"]);
    expect(length(25.4)).toBe("1 in");
    expect(toMm(1)).toBe(25.4);
    expect(fromMm(25.4)).toBe(1);
  });
});

describe("a span", () => {
  it("reads as minutes and seconds, also when a clock was set back", () => {
    expect(clockSpan(125)).toBe("2:05");
    expect(clockSpan(3725)).toBe("62:05");
    expect(clockSpan(-5)).toBe("0:00");
  });
});

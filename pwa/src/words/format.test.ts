/**
 * Dates in the practice's zone, and measures in its units. 25.4 mm to the inch: international inch, 1959 (published).
 * The fluid ounce of 29.57 ml and the degrees: NIST SP 811, appendix B (published, from memory).
 */
import fc from "fast-check";
import { beforeEach, describe, expect, it } from "vitest";

import { readLabel } from "../domain/kit/labels";
import {
  clockOf,
  clockSpan,
  dayKey,
  distance,
  driven,
  driveSpan,
  fromCelsius,
  fromMl,
  fromMm,
  labelCode,
  length,
  moment,
  money,
  moneyRate,
  setPlace,
  span,
  temperature,
  time,
  toCelsius,
  toMl,
  toMm,
  volume,
  wallTime,
} from "./format";

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

  it("is told by the clock of the place, of a time without a day too", () => {
    expect(wallTime("10:30")).toBe("10:30");
    expect(wallTime(13 * 60 + 5)).toBe("13:05");
    setPlace({ zone: "America/Chicago", units: "in" }, ["en-US"]);
    expect(wallTime("09:30")).toMatch(/^9:30\sAM$/);
    expect(wallTime(13 * 60 + 5)).toMatch(/^1:05\sPM$/);
    expect(wallTime("00:00")).toMatch(/^12:00\sAM$/);
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

describe("a volume", () => {
  it("is kept in millilitres and read in the practice's units", () => {
    expect(volume(95.238)).toBe("95.2 ml");
    expect(volume(904.762)).toBe("905 ml");
    setPlace({ zone: "America/Chicago", units: "in" }, ["en-US"]);
    expect(toMl(128)).toBeCloseTo(3785.41, 2);
    expect(volume(toMl(128))).toBe("128 US fl oz (3,785 ml)");
    expect(volume(95.238)).toBe("3.22 US fl oz (95.2 ml)");
  });

  it("comes back as it was typed", () => {
    setPlace({ zone: "America/Chicago", units: "in" }, ["en-US"]);
    for (let typed = 0.25; typed < 200; typed += 0.25) expect(fromMl(toMl(typed))).toBe(typed);
  });
});

describe("a temperature", () => {
  it("is kept in Celsius and read in the practice's units", () => {
    expect(temperature(132)).toBe("132 °C");
    setPlace({ zone: "America/Chicago", units: "in" }, ["en-US"]);
    expect(toCelsius(212)).toBe(100);
    expect([121, 132, 160].map(temperature)).toEqual(["250 °F", "270 °F", "320 °F"]);
  });

  it("that is asked for is reached by whoever reads as much", () => {
    setPlace({ zone: "America/Chicago", units: "in" }, ["en-US"]);
    for (let asked = 100; asked < 200; asked += 1) {
      const shown = Number(temperature(asked).replace(" °F", ""));
      expect(toCelsius(shown)).toBeGreaterThanOrEqual(asked);
      expect(fromCelsius(toCelsius(shown))).toBe(shown);
    }
  });
});

describe("a span", () => {
  it("reads as minutes and seconds, also when a clock was set back", () => {
    expect(clockSpan(125)).toBe("2:05");
    expect(clockSpan(3725)).toBe("62:05");
    expect(clockSpan(-5)).toBe("0:00");
  });
});

describe("the code on a label", () => {
  // Unicode Standard Annex 14: no line breaks before or after U+2011 (published).
  it("is not broken in two lines, and is read again as it is shown", () => {
    expect(labelCode("0000-16JD")).toBe("0000\u201116JD");
    expect(readLabel(labelCode("0000-16JD"))).toEqual({ label: "0000-16JD" });
  });
});

describe("money and distances on the road", () => {
  // A mile is 1609.344 m (the international yard and pound agreement of 1959).
  it("have the unit of the place's roads, and without one that of its measures", () => {
    const of = (units: "mm" | "in", roads?: "mile" | "km") => {
      setPlace({ zone: "Europe/London", units, roads }, ["en-GB"]);
      return distance(16_093.44);
    };
    expect([of("mm"), of("in"), of("mm", "mile"), of("in", "km")]).toEqual([
      ...["16.1 km", "10 mi", "10 mi", "16.1 km"],
    ]);
    expect(length(14)).toBe("0.55 in");
  });

  // A mid-year rate of 62.5 cents is published (IRS Announcement 2022-13, from a secondary source).
  it("have two places, and a rate as many as it has", () => {
    setPlace({ zone: "America/New_York", units: "in" }, ["en-US"]);
    expect([money(718_000, "USD"), money(25, "GBP")]).toEqual(["$7,180.00", "£0.25"]);
    expect([moneyRate("0.625", "USD"), moneyRate("0.70", "USD")]).toEqual(["$0.625", "$0.70"]);
    expect([driven(125, "mile"), driven(10_000, "km")]).toEqual(["12.5 miles", "1,000 km"]);
    expect([10, 11, 0].map((tenths) => driven(tenths, "mile"))).toEqual([
      ...["1 mile", "1.1 miles", "0 miles"],
    ]);
  });
});

it("says how long a drive is in hours and minutes", () => {
  expect([0, 45, 60, 418].map(span)).toEqual(["0 min", "45 min", "1 h", "6 h 58 min"]);
  // Rounded before it is cut into hours, so that it never says 60 min.
  expect([driveSpan(3_590), driveSpan(29)]).toEqual(["1 h", "0 min"]);
});

/** The vectors that the server runs as well; `dateutil` and Python's `uuid` made them. See tests/parity/test_repeats.py. */
import { describe, expect, it, test } from "vitest";

import { daysOf, nthOf, occurrenceId, ruleOf } from "../../../src/domain/schedule/repeats";
import { moment, setPlace } from "../../../src/words/format";
import vectors from "../../../../tests/parity/repeats.json" with { type: "json" };

const SERIES = "019a2b3c-4d5e-7f60-8a9b-0c1d2e3f4a5b";

test.each(vectors)("$name", async ({ zone, first, clock, rule, left_out, days, visits }) => {
  expect(daysOf(rule, first)).toEqual(days);
  setPlace({ zone, units: "mm" }, ["en-GB"]);
  const kept = (days ?? []).filter((day) => !(left_out as string[]).includes(day));
  const made = kept.map(async (day) => [
    await occurrenceId(SERIES, day),
    moment(day, clock).toISOString().replace(".000", ""),
  ]);
  expect(await Promise.all(made)).toEqual(visits);
});

describe("a rule", () => {
  it("is on the weekday of the first visit, and of the month its place in it", () => {
    const times = { times: 8 };
    expect(ruleOf({ every: 6, unit: "week", ends: times }, "2027-01-05")).toBe(
      "FREQ=WEEKLY;INTERVAL=6;BYDAY=TU;COUNT=8",
    );
    expect(ruleOf({ every: 2, unit: "month", ends: { until: "2027-12-31" } }, "2027-01-12")).toBe(
      "FREQ=MONTHLY;INTERVAL=2;BYDAY=2TU;UNTIL=20271231",
    );
    expect(nthOf("2027-01-28")).toBe(4);
    expect(nthOf("2027-01-29")).toBe(-1);
  });

  it("is none without an end or a distance", () => {
    expect(daysOf("FREQ=WEEKLY;INTERVAL=1;BYDAY=TU", "2027-01-05")).toBeNull();
    expect(daysOf("FREQ=WEEKLY;INTERVAL=0;BYDAY=TU;COUNT=3", "2027-01-05")).toBeNull();
  });
});

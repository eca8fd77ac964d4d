/** A visit that repeats, as the form has it. Check: our own rule; the days run the shared vectors. 2027-01-05 is a Tuesday. */
import { beforeAll, describe, expect, it } from "vitest";

import type { Held } from "../../store";
import { setPlace } from "../../words/format";
import { againstEach, type Known } from "./against";
import { laterOf } from "./change";
import { blankRepeat, inWords, repeated, repeatOf, usuallyEvery } from "./repeat";

beforeAll(() => {
  setPlace({ zone: "Europe/London", units: "mm" }, ["en-GB"]);
});

const WEEKS = { ...blankRepeat(), unit: "week" as const };
const MONTHS = { ...WEEKS, unit: "month" as const, every: 1 };

describe("a repeat", () => {
  it("is said in plain words", () => {
    expect(inWords(WEEKS, "2027-01-05", "10:00")).toBe(
      "Every 6 weeks on Tuesday at 10:00, 8 times",
    );
    expect(inWords({ ...MONTHS, ends: "until", until: "2027-12-31" }, "2027-01-29", "10:15")).toBe(
      "Every month on the last Friday at 10:15, until 31 December 2027",
    );
    expect(inWords({ ...WEEKS, every: null }, "2027-01-05", "10:00")).toBe("");
  });

  it("begins as far apart as was said at the last sign-off", () => {
    expect(usuallyEvery("week", 10)).toBe(10);
    expect(usuallyEvery("week", null)).toBe(6);
    expect(usuallyEvery("month", 12)).toBe(3);
    expect(usuallyEvery("month", 1)).toBe(1);
  });

  it("has no days until it is filled in, nor where it ends before it begins", () => {
    expect(repeated(WEEKS, "2027-01-05").days).toHaveLength(8);
    for (const slip of [{ every: null }, { times: null }, { ends: "until" as const }]) {
      expect(repeated({ ...WEEKS, ...slip }, "2027-01-05").days).toEqual([]);
    }
    expect(repeated(WEEKS, "").days).toEqual([]);
    const ended = { ...WEEKS, ends: "until" as const, until: "2027-01-04" };
    expect(repeated(ended, "2027-01-05").days).toEqual([]);
  });

  it("comes back as it was sent", () => {
    const left_out = ["2027-02-16"];
    for (const form of [
      { ...WEEKS, left_out },
      { ...MONTHS, ends: "until" as const, times: null, until: "2027-12-31", left_out },
    ]) {
      const { rule } = repeated(form, "2027-01-05");
      expect({ ...repeatOf(rule, left_out), until: form.until }).toEqual(form);
    }
  });
});

function booking(id: string, day: string, more = {}): Held<"booking"> {
  const row = { client: "c", staff: "me", state: "booked", minutes: 45, place: "home" };
  const starts_at = `${day}T09:30:00Z`;
  return { id, row: { ...row, series: null, starts_at, ...more } } as unknown as Held<"booking">;
}

describe("visits of several days", () => {
  const client = { id: "c", row: { facility: null, visit_times: [], may_wait: false } };
  const when = { day: "2027-01-05", clock: "09:00", minutes: 45, staff: "me" };
  const known: Known = {
    ...{ visits: [], weeks: [], clients: [], facilities: [], travel: null },
    bookings: [booking("b", "2027-01-12")],
    off: [
      { id: "o", row: { staff: null, first: "2027-01-19", last: "2027-01-19" } },
    ] as unknown as Held<"time_off">[],
  };

  it("say of each day what is in its way", () => {
    const days = ["2027-01-05", "2027-01-12", "2027-01-19"].map((day) => ({ day }));
    const found = againstEach(when, days, client, known);
    expect(found.map(({ clash, codes }) => [clash, codes])).toEqual([
      [false, []],
      [true, []],
      [false, ["day_off"]],
    ]);
  });

  it("are not in their own way where they move together", () => {
    const moved = againstEach(when, [{ day: "2027-01-12", moved: "b" }], client, known);
    expect(moved[0]?.clash).toBe(false);
  });
});

it("counts those of a repeat that come after a visit and still stand", () => {
  const of = (id: string, day: string, more = {}) => booking(id, day, { series: "s", ...more });
  const first = of("1", "2027-01-05");
  const all = [
    of("3", "2027-03-02"),
    first,
    of("2", "2027-02-02"),
    of("gone", "2027-02-09", { state: "cancelled" }),
    of("other", "2027-02-16", { series: "x" }),
  ];
  expect(laterOf(first, all).map(({ id }) => id)).toEqual(["2", "3"]);
  expect(laterOf(booking("b", "2027-01-05"), all)).toEqual([]);
});

/** Ways proposed from a day, and an odometer shared out. Largest remainder by hand; distances by the estimate's own rule. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import type { RowOf } from "../../../src/domain/rows";
import { stopsOn } from "../../../src/domain/trips/from-rows";
import { type Stop, waysOf } from "../../../src/domain/trips/propose";
import { shareOut } from "../../../src/domain/trips/share-out";

// 1 degree of the equator is 111,195.1 m by the mean radius (computed); a road factor of 1.00 leaves it so.
const ROADS = { road_percent: 100, speeds: [{ up_to_m: null, km_h: 30 }] };
const stop = (label: string, lon: number | null): Stop => ({
  label,
  position: lon === null ? null : { lat: 0, lon },
  purpose: "client",
});

describe("the ways of a day", () => {
  it("go from home to each stop and home again", () => {
    const ways = waysOf(stop("Home", 0), [stop("Elm Road", 1), stop("Oak Road", 2)], ROADS);
    expect(ways.map(({ start, end }) => [start, end])).toEqual([
      ["Home", "Elm Road"],
      ["Elm Road", "Oak Road"],
      ["Oak Road", "Home"],
    ]);
    expect(ways.map((way) => way.estimated_m)).toEqual([111_195, 111_195, 222_390]);
  });

  it("take several visits at one place for one stop", () => {
    const house = { ...stop("Withy House", 1), purpose: "facility" as const };
    const ways = waysOf(stop("Home", 0), [house, house, house], ROADS);
    expect(ways.map(({ purpose }) => purpose)).toEqual(["facility", "facility"]);
  });

  it("have no estimate where an end is not known, and none without a book's word", () => {
    expect(
      waysOf(stop("Home", null), [stop("Elm Road", 1)], ROADS).map((w) => w.estimated_m),
    ).toEqual([null, null]);
    expect(waysOf(stop("Home", 0), [stop("Elm Road", 1)], null)[0]?.estimated_m).toBeNull();
  });

  it("of a day without stops are none", () => {
    expect(waysOf(stop("Home", 0), [], ROADS)).toEqual([]);
  });
});

describe("an odometer shared out", () => {
  it.each([
    // 10 x 1/3 = 3 1/3 each: the one left over to the first.
    [10, [1, 1, 1], [4, 3, 3]],
    // 100 x 2/7 = 28.57, x 3/7 = 42.86, x 2/7 = 28.57: two left over, to the second and then the first.
    [100, [2, 3, 2], [29, 43, 28]],
    [7, [0, 0], [4, 3]],
    [0, [5, 2], [0, 0]],
    [9, [0, 3], [0, 9]],
  ])("%i by %j is %j", (total, weights, parts) => {
    expect(shareOut(total, weights)).toEqual(parts);
  });

  it("always adds up, and no part is off by one or more", () => {
    const weights = fc.array(fc.integer({ min: 0, max: 500_000 }), { minLength: 1, maxLength: 12 });
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 50_000 }), weights, (total, by) => {
        const parts = shareOut(total, by);
        const sum = by.reduce((a, b) => a + b, 0);
        expect(parts.reduce((a, b) => a + b, 0)).toBe(total);
        if (sum === 0) return;
        parts.forEach((part, n) => {
          expect(Math.abs(part - (total * (by[n] ?? 0)) / sum)).toBeLessThan(1);
        });
      }),
    );
  });
});

describe("the stops of a day", () => {
  const booking = (client: string, at: string, more: Partial<RowOf<"booking">> = {}) =>
    ({
      client,
      staff: "me",
      starts_at: at,
      state: "booked",
      place: "home",
      ...more,
    }) as RowOf<"booking">;
  const client = (address: string, facility: string | null = null) =>
    ({ name: "Invented Person", address, facility }) as RowOf<"client">;
  const given = {
    bookings: [
      { id: "b1", row: booking("a", "2026-03-02T09:00:00Z") },
      { id: "b2", row: booking("b", "2026-03-02T10:00:00Z", { state: "not_seen" }) },
      { id: "b3", row: booking("c", "2026-03-02T11:00:00Z", { place: "facility" }) },
      { id: "b4", row: booking("a", "2026-03-02T12:00:00Z", { state: "cancelled" }) },
      { id: "b5", row: booking("a", "2026-03-02T13:00:00Z", { staff: "other" }) },
      { id: "b6", row: booking("a", "2026-03-03T09:00:00Z") },
    ],
    visits: [
      { id: "v", row: { booking: "b1", started_at: "2026-03-02T10:30:00Z" } as RowOf<"visit"> },
    ],
    clients: [
      { id: "a", row: client("1 Elm Road") },
      { id: "b", row: client("2 Oak Road") },
      { id: "c", row: client("", "house") },
    ],
    facilities: [{ id: "house", row: { name: "Withy House" } as RowOf<"facility"> }],
  };
  const stops = stopsOn(given, "me", (at) => at.startsWith("2026-03-02"));

  it("stand in the order in which they were made, with those where nobody was seen", () => {
    expect(stops.map(({ label }) => label)).toEqual(["2 Oak Road", "1 Elm Road", "Withy House"]);
    expect(stops.map(({ purpose }) => purpose)).toEqual(["client", "client", "facility"]);
  });

  it("never name a client", () => {
    expect(JSON.stringify(stops)).not.toContain("Invented Person");
  });
});

/** What a day's visits need of the kit. Check: our own rules; the counts and margins are the book's. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import type { RowOf } from "../rows";
import { bookOf } from "../screening/vectors";
import type { SetCard } from "./facts";
import { invented, lot, product, set, solution } from "./invented-kit";
import type { KitSet } from "./kit";
import {
  type BitsAllowed,
  dayToPack,
  nextDay,
  packingList,
  spareOf,
  type Trip,
  visitsOn,
} from "./packing";
import type { State } from "./standing";

const DAY = "2026-11-26";
const KEEPS = "2027-01-10T12:00:00Z";
const book = bookOf("base");
const dayOf = (at: string) => at.slice(0, 10);
const trip = (...visits: BitsAllowed[]): Trip => ({ day: DAY, staff: "me", visits, dayOf });

function holding(...families: (string | null)[]): SetCard["instruments"] {
  const any = { name: "", count: 1, grit: "", head_mm: null, shank_mm: null, most_rpm: null };
  return families.map((family) => ({ ...any, kind: family ? "rotary_bit" : "nippers", family }));
}
const clean = (id: string, ...families: (string | null)[]): KitSet =>
  set(id, "clean", { until: KEEPS }, holding(...(families.length > 0 ? families : [null])));
const ids = (sets: readonly KitSet[]) => sets.map(({ id }) => id);

describe("the visits to pack for", () => {
  const at = { client: "c", minutes: 45, place: "home", version: 1 } as const;
  const booked = (id: string, rest: Partial<RowOf<"booking">>) => ({
    id,
    row: {
      ...at,
      ...{ staff: "me", state: "booked", starts_at: `${DAY}T09:00:00Z`, ...rest },
    } as RowOf<"booking">,
  });

  it("are mine, of that day where the practice is, booked, and not begun", () => {
    const bookings = [
      booked("later", { starts_at: `${DAY}T13:00:00Z` }),
      booked("first", {}),
      booked("theirs", { staff: "other" }),
      booked("called off", { state: "cancelled" }),
      booked("done", { state: "done" }),
      booked("begun", {}),
      booked("just past midnight there", { starts_at: "2026-11-25T23:30:00Z" }),
    ];
    const there = (moment: string) =>
      new Date(Date.parse(moment) + 3_600_000).toISOString().slice(0, 10);
    const begun = [{ booking: "begun" } as RowOf<"visit">];
    const found = visitsOn(bookings, begun, { day: DAY, staff: "me", dayOf: there });
    expect(found.map(({ id }) => id)).toEqual(["just past midnight there", "first", "later"]);
  });

  it("are of today until the last is over or begun, then of the next day that has any", () => {
    const bookings = [
      booked("today", { starts_at: `${DAY}T13:00:00Z` }),
      booked("next", { starts_at: "2026-11-30T09:00:00Z" }),
    ];
    const at = (time: string, begun: string[] = [], staff = "me") => {
      const rows = begun.map((booking) => ({ booking }) as RowOf<"visit">);
      return dayToPack(bookings, rows, { now: new Date(`${DAY}T${time}:00Z`), staff, dayOf });
    };
    // It takes 45 minutes.
    expect([at("07:00"), at("13:44"), at("13:45")]).toEqual([DAY, DAY, "2026-11-30"]);
    expect(at("12:50", ["today"])).toBe("2026-11-30");
    expect(at("07:00", [], "nobody")).toBe(DAY);
  });

  it("come next on the first day after that has one of mine", () => {
    const bookings = [
      booked("last", { starts_at: "2026-12-03T09:00:00Z" }),
      booked("next", { starts_at: "2026-11-30T09:00:00Z" }),
      booked("theirs", { starts_at: "2026-11-28T09:00:00Z", staff: "other" }),
      booked("called off", { starts_at: "2026-11-29T09:00:00Z", state: "cancelled" }),
      booked("that day", {}),
    ];
    expect(nextDay(bookings, "me", DAY, dayOf)).toBe("2026-11-30");
    expect(nextDay(bookings, "nobody", DAY, dayOf)).toBeUndefined();
  });
});

describe("the spare margin", () => {
  it("is rounded up, and at least one", () => {
    expect([0, 1, 4, 5, 6, 10, 11].map((n) => spareOf(n, 20))).toEqual([0, 1, 1, 1, 2, 2, 3]);
    expect(spareOf(7, 0)).toBe(1);
    // In binary, 1.1 times 10 is a little more than 11.
    expect(spareOf(10, 110)).toBe(11);
  });
});

describe("sets", () => {
  it("are one for each visit and the spares: those in my box first, then what keeps the shortest", () => {
    const sets = [
      clean("late"),
      set("soon", "clean", { until: "2026-12-01T12:00:00Z" }, holding(null)),
      set("mine", "out", { until: KEEPS, staff: "me" }, holding(null)),
      set("theirs", "out", { until: KEEPS, staff: "other" }, holding(null)),
      set("that day", "clean", { until: `${DAY}T20:00:00Z` }, holding(null)),
    ];
    const packed = packingList(book, invented({ sets }), trip(null)).sets;
    expect(packed).toMatchObject({ needed: 2, spare: 1, have: 2, short: 0 });
    expect(ids(packed.chosen)).toEqual(["mine", "soon"]);
    // 3 visits and 1 spare.
    expect(packingList(book, invented({ sets }), trip(null, null, null)).sets).toMatchObject({
      ...{ needed: 4, have: 3, short: 1 },
    });
  });

  it("go to whom they may serve, so that as many as can get one", () => {
    const carbide = [clean("carbide", "carbide_ball"), clean("carbide too", "carbide_ball")];
    const sets = [clean("both", "diamond_large", "carbide_ball"), ...carbide];
    const all = trip(null, ["diamond_large"]);
    const packed = packingList(book, invented({ sets }), all).sets;
    // The first visit would take the first set, and leave none for the second.
    expect(packed).toMatchObject({ needed: 3, have: 3, short: 0, ruled_out: [] });
  });

  it("whose bits nobody of the day may have do not count; those without bits do", () => {
    const sets = [clean("carbide", "carbide_ball"), clean("nail")];
    const packed = packingList(book, invented({ sets }), trip(["diamond_large"], [])).sets;
    expect(ids(packed.chosen)).toEqual(["nail"]);
    expect(ids(packed.ruled_out)).toEqual(["carbide"]);
  });

  it("that can still be made ready are told, the furthest on the way first", () => {
    const states = [
      "dirty",
      "drying",
      "in_use",
      "washing",
      "processing",
      "lost",
      "unclear",
    ] as const;
    const sets = states.map((state) => set(state, state, {}, holding(null)));
    sets.push(set("carbide", "drying", {}, holding("carbide_ball")));
    const { in_time } = packingList(book, invented({ sets }), trip(["diamond_large"])).sets;
    expect(in_time.map(({ set: { id }, from }) => [id, from])).toEqual(
      ["drying", "processing", "washing", "dirty", "in_use", "unclear"].map((it) => [it, it]),
    );
  });

  it("that are clean and do not keep through the day need the whole way once more", () => {
    const until = `${DAY}T20:00:00Z`;
    const sets = [
      set("mine", "out", { until, staff: "me" }, holding(null)),
      set("theirs", "out", { until, staff: "other" }, holding(null)),
      set("cupboard", "clean", { until }, holding(null)),
      clean("keeps"),
    ];
    const { in_time } = packingList(book, invented({ sets }), trip(null)).sets;
    expect(in_time.map(({ set: { id } }) => id)).toEqual(["cupboard", "mine"]);
  });

  it("leave out what is wiped between clients, which is taken along", () => {
    const handpiece = [{ ...holding(null)[0], kind: "handpiece" }] as SetCard["instruments"];
    const sets = [set("handpiece", "clean", { until: KEEPS }, handpiece)];
    const list = packingList(book, invented({ sets }), trip(null));
    expect(list.sets).toMatchObject({ needed: 2, have: 0 });
    expect(ids(list.tools)).toEqual(["handpiece"]);
  });
});

describe("single-use items", () => {
  it("are what the visits take and a margin, out of what is in date that day", () => {
    const lots = [
      lot("over", "gloves", { expires_on: "2026-11-25" }, 90),
      lot("later", "gloves", { expires_on: "2027-05-01" }, 90),
      lot("that day", "gloves", { expires_on: DAY }, 3),
      lot("none", "gloves", { expires_on: DAY }, -4),
    ];
    const { items } = packingList(book, invented({ lots }), trip(null, null, null));
    // 3 visits with 2 pairs, and 20 % of 6 rounded up.
    expect(items.find(({ supply }) => supply === "gloves")).toMatchObject({
      ...{ needed: 8, have: 93, short: 0, kept: true },
      take: [
        { lot: "that day", count: 3 },
        { lot: "later", count: 5 },
      ],
      over: [{ id: "over" }],
    });
    // 3 and 1 spare; nobody keeps them in lots.
    const mask = { needed: 4, short: 4, kept: false };
    expect(items.find(({ supply }) => supply === "mask")).toMatchObject(mask);
  });
});

describe("what sets are disinfected in on the way", () => {
  it("is so much for each set, mixed by the label, or taken from a mix that keeps", () => {
    const mixed = { used_for: "instruments", stock_percent: 10, use_ppm: 5000 } as const;
    const products = [
      product("concentrate", mixed),
      product("ready", { used_for: "both" }),
      product("surfaces"),
      product("old", { used_for: "both", expires_on: "2026-11-25" }),
    ];
    const kit_solution = [
      solution("keeps", "concentrate", { keeps_until: "2026-11-27T06:00:00Z" }),
      solution("not that long", "concentrate", { keeps_until: "2026-11-26T23:00:00Z" }),
      solution("weak", "concentrate", { target_ppm: 1000, keeps_until: "2026-11-30T06:00:00Z" }),
    ];
    const kit = invented({ products }, { kit_solution });
    const { soak } = packingList(book, kit, trip(null, null, null));
    // 4 sets with 250 ml; 5000 ppm of 100,000 ppm is a twentieth.
    expect(soak.ml).toBe(1000);
    expect(soak.ways.map((way) => [way.product.id, way.recipe])).toEqual([
      ["concentrate", { stock_ml: 50, water_ml: 950 }],
      ["ready", null],
    ]);
    expect(soak.ways[0]?.mixes.map(({ id }) => id)).toEqual(["keeps"]);
  });
});

describe("any day", () => {
  const families = fc.subarray(["diamond_large", "carbide_ball", "carbide_tapered"]);
  const visit = fc.oneof(fc.constant(null), families);
  const state = fc.constantFrom<State>("clean", "out", "dirty", "drying", "lost");
  const one = fc.record({
    state,
    families,
    mine: fc.boolean(),
    hours: fc.integer({ max: 90, min: -9 }),
  });
  const sets = fc.array(one, { maxLength: 9 }).map((some) =>
    some.map((it, place) => {
      const until = new Date(Date.parse(`${DAY}T00:00:00Z`) + it.hours * 3_600_000).toISOString();
      const how = { until, staff: it.mine ? "me" : "other" };
      return set(String(place), it.state, how, holding(...it.families, null));
    }),
  );
  const visits = fc.array(visit, { maxLength: 6 });
  const counts = fc.array(fc.integer({ min: -3, max: 12 }), { maxLength: 4 });

  it("is short of what is missing, takes what may be taken, and each thing once", () => {
    fc.assert(
      fc.property(sets, visits, counts, (some, those, lefts) => {
        const lots = lefts.map((left, n) =>
          lot(String(n), "gloves", { expires_on: n % 2 ? "2026-11-25" : "2026-12-01" }, left),
        );
        const list = packingList(book, invented({ sets: some, lots }), trip(...those));
        const { chosen, needed, short } = list.sets;
        expect(chosen.length + short).toBe(needed);
        expect(new Set(ids(chosen)).size).toBe(chosen.length);
        for (const { standing } of chosen) {
          expect((standing.until ?? "").slice(0, 10) > DAY).toBe(true);
          expect(standing.state === "clean" || standing.staff === "me").toBe(true);
        }
        for (const item of list.items) {
          const taken = item.take.reduce((sum, { count }) => sum + count, 0);
          expect(taken).toBe(Math.min(item.needed, item.have));
          expect(taken + item.short).toBe(item.needed);
        }
      }),
    );
  });

  it("is served as well whatever the order, and no worse with one set more", () => {
    fc.assert(
      fc.property(sets, visits, (some, those) => {
        const short = (of: readonly KitSet[]) =>
          packingList(book, invented({ sets: of }), trip(...those)).sets.short;
        expect(short(some.toReversed())).toBe(short(some));
        const more = [...some, clean("more", null)];
        expect(short(more)).toBe(Math.max(0, short(some) - 1));
      }),
    );
  });
});

/** What a visit may take of the kit. Check: our own rules; the counts of a visit are the book's. */
import { describe, expect, it } from "vitest";

import { bookOf } from "../screening/vectors";
import {
  bitsIn,
  lotsInDate,
  mostTurns,
  setsFor,
  suggestedItems,
  suppliesFor,
  wetTimes,
  wipesFor,
} from "./for-visit";
import { invented, lot, product, set, solution } from "./invented-kit";

const NOW = new Date("2026-11-25T10:00:00Z");
const DAY = "2026-11-25";

describe("the sets for a visit", () => {
  const sets = [
    set("dirty", "in_use"),
    set("theirs", "out", { staff: "other", until: "2026-11-26T00:00:00Z" }),
    set("late", "clean", { until: "2027-02-01T00:00:00Z" }),
    set("soon", "clean", { until: "2026-12-01T00:00:00Z" }),
    set("mine", "out", { staff: "me", until: "2027-03-01T00:00:00Z" }),
    set("lost", "lost"),
  ];

  it("are those in my box, then what keeps the shortest, then those that may not be taken", () => {
    const choices = setsFor(sets, "me").map((each) => [each.set.id, ...each.against]);
    expect(choices).toEqual([
      ...[["mine"], ["soon"], ["late"]],
      ...[
        ["dirty", "not_clean"],
        ["theirs", "in_anothers_box"],
      ],
    ]);
  });

  it("give their bits, and the least that one of them bears", () => {
    const any = { kind: "rotary_bit", count: 1, grit: "", shank_mm: 2.35, name: "" };
    const fine = { ...any, family: "diamond_small", head_mm: 3, most_rpm: 25_000 };
    const nippers = { ...any, kind: "nippers", family: null, head_mm: null, most_rpm: null };
    const one = set("a", "in_use", {}, [fine, nippers, fine]);
    const other = set("b", "in_use", {}, [{ ...fine, most_rpm: 18_000 }]);
    const bits = bitsIn([one, other]);
    expect(bits.map(({ most_rpm }) => most_rpm)).toEqual([25_000, 18_000]);
    expect(mostTurns(bits, { family: "diamond_small", head_mm: 3 })).toBe(18_000);
    expect(mostTurns(bits, { family: "diamond_small", head_mm: 4 })).toBeNull();
  });
});

describe("single-use items", () => {
  const { supplies = [] } = bookOf("base");
  const lots = [
    lot("over", "gloves", { expires_on: "2026-11-24" }),
    lot("never", "gloves"),
    lot("today", "gloves", { expires_on: DAY }, 1),
    lot("none", "gloves", { expires_on: "2026-11-30" }, -2),
    lot("mask", "mask"),
  ];

  it("come from the lot that is over first, and never from one that is over", () => {
    const ids = lotsInDate(lots, DAY).map(({ id }) => id);
    expect(ids).toEqual(["today", "none", "never", "mask"]);
    // The book: two pairs of gloves and a mask.
    expect(suggestedItems(supplies, lots, DAY)).toEqual([
      { lot: "today", count: 1 },
      { lot: "never", count: 1 },
      { lot: "mask", count: 1 },
    ]);
  });

  it("are suggested as far as they are not taken yet", () => {
    const after = (...taken: [string, number][]) =>
      suggestedItems(
        supplies,
        lots,
        DAY,
        taken.map(([of, count]) => ({ lot: of, count })),
      );
    expect(after(["today", 1], ["mask", 3])).toEqual([{ lot: "never", count: 1 }]);
    expect(after(["never", 2])).toEqual([{ lot: "mask", count: 1 }]);
  });

  it("are those that the work of the visit takes", () => {
    const left = (bits: readonly unknown[], ...work_done: string[]) => {
      const wanted = suppliesFor(supplies, { bits, work_done }).map(({ id }) => id);
      return supplies.map(({ id }) => id).filter((id) => !wanted.includes(id));
    };
    expect(left([], "nails_cut", "advice_given")).toEqual(["barrier_sleeve", "sanding_band"]);
    expect(left([{}], "callus_smoothed")).toEqual(["buffer", "orange_stick"]);
    expect(left([{}], "nails_filed")).toEqual([]);
    const before = supplies.map(({ only_with: _, ...rest }) => rest);
    expect(suppliesFor(before, { bits: [], work_done: [] })).toEqual(before);
  });

  it("are none where there is nothing left", () => {
    expect(suggestedItems(supplies, [lot("empty", "gloves", {}, 0)], DAY)).toEqual([]);
    expect(suggestedItems([], lots, DAY)).toEqual([]);
  });
});

describe("how long surfaces stay wet", () => {
  it("is by the label of each product, whichever mix of it", () => {
    const wipe = (id: string, contact_minutes: number, solution: string | null = null) => ({
      product: product(id, { contact_minutes }),
      ...{ solution, mixed_at: null },
    });
    const wipes = [wipe("bleach", 10, "old"), wipe("bleach", 10, "new"), wipe("wipes", 0.75)];
    expect(wetTimes(wipes)).toEqual([
      { name: "bleach", seconds: 600 },
      { name: "wipes", seconds: 45 },
    ]);
  });
});

describe("what surfaces are wiped with", () => {
  const bleach = product("bleach", { use_ppm: 5000, stock_percent: 5.25 });

  it("is a ready product, or each mix that still keeps", () => {
    const products = [
      product("wipes", { used_for: "both" }),
      product("old", { expires_on: "2026-11-24" }),
      product("bath", { used_for: "instruments" }),
      bleach,
    ];
    const kit_solution = [
      solution("fresh", "bleach", { keeps_until: "2026-11-25T18:00:00Z" }),
      solution("stale", "bleach", { keeps_until: "2026-11-25T09:59:00Z" }),
      solution("weak", "bleach", { target_ppm: 1000 }),
      solution("gone", "bleach", { thrown_away_at: "2026-11-25T09:00:00Z" }),
    ];
    const wipes = wipesFor(invented({ products }, { kit_solution }), NOW, DAY);
    expect(wipes.map((wipe) => [wipe.product.id, wipe.solution])).toEqual([
      ["wipes", null],
      ["bleach", "fresh"],
    ]);
  });

  it("is no mix that nobody made", () => {
    expect(wipesFor(invented({ products: [bleach] }), NOW, DAY)).toEqual([]);
  });
});

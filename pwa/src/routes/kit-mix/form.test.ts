/** What a form for a solution comes to. 95.24 ml in a litre: tests/parity/dilution.json; the rest is our own rule. */
import { describe, expect, it } from "vitest";

import type { ProductCard } from "../../domain/kit/facts";
import type { BookJson } from "../../domain/screening";
import { blankMix, byLabel, keepsUntil, mixOf, tooWeak } from "./form";

const NOW = new Date("2026-11-25T12:00:00Z");
const card = { stock_percent: 5.25, use_ppm: 5000, mixed_keeps_hours: null } as ProductCard;
const book = { settings: { solution_hours_max: 24 } } as unknown as BookJson;
const form = { ...byLabel(blankMix(), "bleach", card), volume_ml: 1000 };

describe("a solution", () => {
  it("begins with what the label says", () => {
    expect(form).toMatchObject({ product: "bleach", stock_percent: 5.25, by: "ppm", target: 5000 });
    expect(mixOf(form).mix?.stock_ml).toBeCloseTo(95.24, 2);
    expect(mixOf(form).mix?.water_ml).toBeCloseTo(904.76, 2);
  });

  it("is the same in per cent", () => {
    expect(mixOf({ ...form, by: "percent", target: 0.5 })).toEqual(mixOf(form));
  });

  it("of parts waits until it is said how they are read", () => {
    const parts = { ...form, by: "ratio" as const, to: 10 };
    expect(mixOf(parts)).toEqual({});
    expect(mixOf({ ...parts, reading: "in_total" }).mix).toMatchObject({ stock_ml: 100 });
    expect(mixOf({ ...parts, reading: "in_total" }).mix?.target_ppm).toBeCloseTo(5250, 6);
    expect(mixOf({ ...parts, reading: "added" }).mix?.stock_ml).toBeCloseTo(1000 / 11, 6);
  });

  it("says what is wrong with it, once it is filled in", () => {
    expect(mixOf({ ...form, volume_ml: null })).toEqual({});
    expect(mixOf({ ...form, target: 60_000 }).fault?.problem).toBe("above_stock");
    expect(mixOf({ ...form, volume_ml: 0 }).fault?.problem).toBe("not_positive");
  });

  it("is too weak for instruments below what the label asks for", () => {
    const weak = (target: number, of = card) => {
      const { mix } = mixOf({ ...form, target });
      return mix && tooWeak(mix, of);
    };
    expect([weak(4999), weak(5000)]).toEqual([true, false]);
    expect(weak(1, { ...card, use_ppm: null })).toBe(false);
  });

  it("keeps as the label says, and else as the book says", () => {
    expect(keepsUntil(card, book, NOW).toISOString()).toBe("2026-11-26T12:00:00.000Z");
    const week = { ...card, mixed_keeps_hours: 168 };
    expect(keepsUntil(week, book, NOW).toISOString()).toBe("2026-12-02T12:00:00.000Z");
  });
});

/** The same vectors as tests/standards/test_dilution.py, which names their sources. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import vectors from "../../../../tests/parity/dilution.json" with { type: "json" };
import {
  CannotMix,
  comesToPpm,
  ppm,
  recipeBy,
  recipeFor,
  type Ratio,
  type Strength,
} from "../../../src/domain/kit/dilution";

const inPercent = (value: number | null): Strength => ({ value: value ?? NaN, unit: "percent" });
const inPpm = (value: number): Strength => ({ value, unit: "ppm" });
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe("a solution", () => {
  it.each(vectors.recipes)("of $percent % for $target_ppm ppm, $final_ml ml", (row) => {
    const mixed = recipeFor(inPercent(row.percent), inPpm(row.target_ppm), row.final_ml);
    expect(Math.abs(mixed.stock_ml - row.stock_ml)).toBeLessThanOrEqual(0.005);
    expect(Math.abs(mixed.water_ml - row.water_ml)).toBeLessThanOrEqual(0.005);
  });

  it.each(vectors.ratios)("of $percent %, 1:$to $reading, comes to $ppm ppm", (row) => {
    const ratio = { parts: 1, to: row.to, reading: row.reading } as Ratio;
    const { stock_ml, water_ml } = recipeBy(ratio, 1000);
    const held = comesToPpm(inPercent(row.percent), stock_ml, water_ml);
    expect(Math.abs(held - row.ppm)).toBeLessThanOrEqual(0.5);
  });

  it.each(vectors.spoons)("$recipe comes to $ppm ppm", (row) => {
    const held = comesToPpm(inPercent(5.25), row.stock_ml, row.water_ml);
    expect(Math.abs(held - row.ppm)).toBeLessThanOrEqual(0.5);
  });

  it.each(vectors.undiluted)("of $percent % for $target_ppm ppm takes no water", (row) => {
    const mixed = recipeFor(inPercent(row.percent), inPpm(row.target_ppm), row.final_ml);
    expect(mixed).toEqual({ stock_ml: row.final_ml, water_ml: 0 });
  });

  it.each(vectors.refused)("is refused by $does: $field $problem", (row) => {
    let refused: unknown;
    try {
      refused = attempt(row);
    } catch (error) {
      refused = error;
    }
    expect(refused).toBeInstanceOf(CannotMix);
    expect(refused).toMatchObject({ field: row.field, problem: row.problem });
  });

  it("comes back to its target, and nothing is lost", () => {
    fc.assert(
      fc.property(
        between(0.01, 100),
        between(0.0001, 1),
        between(1, 100_000),
        (percent, share, final_ml) => {
          const stock = inPercent(percent);
          const target = ppm(stock) * share;
          const { stock_ml, water_ml } = recipeFor(stock, inPpm(target), final_ml);
          expect(water_ml).toBeGreaterThanOrEqual(0);
          expect((stock_ml + water_ml) / final_ml).toBeCloseTo(1, 9);
          expect(comesToPpm(stock, stock_ml, water_ml) / target).toBeCloseTo(1, 9);
        },
      ),
    );
  });
});

function attempt(row: (typeof vectors.refused)[number]): unknown {
  const number = (value: number | null | undefined) => value ?? NaN;
  if (row.does === "recipe") {
    return recipeFor(
      inPercent(number(row.stock)),
      inPercent(number(row.target)),
      number(row.final_ml),
    );
  }
  if (row.does === "ratio") {
    const ratio = { parts: number(row.parts), to: number(row.to), reading: row.reading } as Ratio;
    return recipeBy(ratio, 1000);
  }
  return comesToPpm(inPercent(number(row.stock)), number(row.stock_ml), number(row.water_ml));
}

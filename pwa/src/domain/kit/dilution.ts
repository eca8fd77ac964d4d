/**
 * How much of a product and how much water make a solution: C1 V1 = C2 V2, and back again. Arithmetic only: which
 * strength, and how long it must stay wet, stands on the label. The twin is kit/dilution.py; both run
 * tests/parity/dilution.json.
 */
// 1 % is 10,000 ppm, weight by volume, of what the label gives the strength of.
const PPM_IN = { ppm: 1, percent: 10_000 };
const MOST_PPM = 1_000_000;
// What the last places of a number may add to a strength that is equal.
const ROUNDING = 1e-9;

export type MixProblem = "not_a_number" | "not_positive" | "negative" | "above_all" | "above_stock";
export type MixField =
  "stock" | "target" | "strength" | "final_ml" | "stock_ml" | "water_ml" | "parts" | "to";

/** The screen has the words for it. */
export class CannotMix extends RangeError {
  constructor(
    readonly field: MixField,
    readonly problem: MixProblem,
  ) {
    super(`${field}: ${problem}`);
  }
}

export interface Strength {
  value: number;
  unit: keyof typeof PPM_IN;
}

/**
 * 1:10 is read in two ways: `in_total`, 1 part in 10 parts of solution; `added`, 1 part and 10 parts of water, 11 in
 * all.
 */
export interface Ratio {
  parts: number;
  to: number;
  reading: "in_total" | "added";
}

export interface Recipe {
  stock_ml: number;
  water_ml: number;
}

export function recipeFor(stock: Strength, target: Strength, final_ml: number): Recipe {
  const share = ppm(target, "target") / ppm(stock, "stock");
  if (share > 1 + ROUNDING) throw new CannotMix("target", "above_stock");
  return recipe(Math.min(share, 1), final_ml);
}

export function recipeBy(ratio: Ratio, final_ml: number): Recipe {
  return recipe(shareOf(ratio), final_ml);
}

/** What a recipe comes to. */
export function comesToPpm(stock: Strength, stock_ml: number, water_ml: number): number {
  const strength = ppm(stock, "stock");
  checkPositive("stock_ml", stock_ml);
  checkNumber("water_ml", water_ml);
  if (water_ml < 0) throw new CannotMix("water_ml", "negative");
  return strength * (stock_ml / (stock_ml + water_ml));
}

export function ppm(strength: Strength, field: MixField = "strength"): number {
  checkPositive(field, strength.value);
  const held = strength.value * PPM_IN[strength.unit];
  if (held > MOST_PPM) throw new CannotMix(field, "above_all");
  return held;
}

/** The part of the solution that is product, by the reading of the ratio. */
export function shareOf(ratio: Ratio): number {
  checkPositive("parts", ratio.parts);
  checkPositive("to", ratio.to);
  const whole = ratio.reading === "in_total" ? ratio.to : ratio.parts + ratio.to;
  if (ratio.parts > whole) throw new CannotMix("parts", "above_all");
  return ratio.parts / whole;
}

function recipe(share: number, final_ml: number): Recipe {
  checkPositive("final_ml", final_ml);
  const stock_ml = final_ml * share;
  return { stock_ml, water_ml: final_ml - stock_ml };
}

function checkPositive(field: MixField, value: number): void {
  checkNumber(field, value);
  if (value <= 0) throw new CannotMix(field, "not_positive");
}

function checkNumber(field: MixField, value: number): void {
  if (!Number.isFinite(value)) throw new CannotMix(field, "not_a_number");
}

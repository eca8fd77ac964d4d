/**
 * What a sale comes to. Tax is worked out once for each rate, on what all lines of that rate come to, and rounded once,
 * a half up. The twin is takings/rules/totals.py, which names the sources; both run tests/parity/takings.json.
 */

/** Money in whole minor units; `price` is of one, `discount` of the line, `tax` the rate in per cent, as text. */
export interface Line {
  quantity: number;
  price: number;
  discount: number;
  tax: string;
}

/** Of one rate: what the lines are without its tax, and the tax. */
export interface Taxed {
  rate: string;
  net: number;
  tax: number;
}

export interface Sum {
  total: number;
  /** The lowest rate first. */
  byRate: Taxed[];
}

export function amountOf({ quantity, price, discount }: Line): number {
  return quantity * price - discount;
}

/** With tax in the prices, the total is what the lines add up to, whatever the rounding. */
export function summed(lines: readonly Line[], taxAdded: boolean): Sum {
  const amounts = new Map<string, number>();
  for (const line of lines) {
    amounts.set(line.tax, (amounts.get(line.tax) ?? 0) + amountOf(line));
  }
  const byRate = [...amounts]
    .sort(([a], [b]) => Number(a) - Number(b))
    .map(([rate, amount]): Taxed => {
      const tax = taxOf(amount, rate, taxAdded);
      return { rate, net: taxAdded ? amount : amount - tax, tax };
    });
  const total = byRate.reduce((sum, { net, tax }) => sum + net + tax, 0);
  return { total, byRate };
}

/** A half up, in whole numbers: a rate has three decimals at most. */
function taxOf(amount: number, rate: string, taxAdded: boolean): number {
  const [whole = "0", part = ""] = rate.split(".");
  const thousandths = BigInt(whole) * 1000n + BigInt(part.padEnd(3, "0"));
  const of = taxAdded ? 100_000n : 100_000n + thousandths;
  return Number((2n * BigInt(amount) * thousandths + of) / (2n * of));
}

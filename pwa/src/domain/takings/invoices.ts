/**
 * Which sales can stand on an invoice, and what an invoice of some sales comes to. The twin is takings/rules/invoices.py;
 * both run tests/parity/takings.json.
 */
import { books, namesOf, type Payment, type Sale, standing } from "./told";
import { type Line, summed, type Taxed } from "./totals";

export type SaleState = "free" | "corrected" | "twice" | "billed" | "paid";

/**
 * Of each sale, whether it can be billed. `billed` are those on invoices that count: what corrects one of them is not
 * billed beside it. One that was paid in part is left as it is, so that an invoice comes to what is due.
 */
export function states(
  sales: readonly Sale[],
  payments: readonly Payment[],
  billed: ReadonlySet<string>,
): Map<string, SaleState> {
  const known = books(sales, payments);
  const byId = new Map(sales.map((sale) => [sale.id, sale]));
  const stand = new Set(standing(sales).map(({ id }) => id));
  const doubled = payments.filter(({ id }) => known.doubled.has(id));
  const unsure = new Set(doubled.map(({ about }) => about));
  const stateOf = (sale: Sale): SaleState => {
    const names = [...namesOf(sale, byId)];
    if (!stand.has(sale.id)) return "corrected";
    if (known.doubled.has(sale.id) || names.some((id) => unsure.has(id))) return "twice";
    if (names.some((id) => billed.has(id))) return "billed";
    const allDue = (known.unpaid.get(sale.id) ?? 0) === sale.total;
    return sale.paid === "not_yet" && allDue ? "free" : "paid";
  };
  return new Map(sales.map((sale) => [sale.id, stateOf(sale)]));
}

export interface Billed extends Line {
  name: string;
}

export interface Bill {
  /** One for each name, price and rate. */
  lines: Billed[];
  /** Without rounding of its own: what the sales come to, and so is each tax. */
  total: number;
  byRate: Taxed[];
}

/** Of sales that tell their prices in one way and currency, in their order. */
export function billed(sales: readonly (readonly Billed[])[], taxAdded: boolean): Bill {
  const lines = new Map<string, Billed>();
  const byRate = new Map<string, Taxed>();
  let total = 0;
  for (const sale of sales) {
    for (const { name, price, tax, quantity, discount } of sale) {
      const key = JSON.stringify([name, price, tax]);
      const before = lines.get(key) ?? { name, price, tax, quantity: 0, discount: 0 };
      lines.set(key, {
        ...before,
        quantity: before.quantity + quantity,
        discount: before.discount + discount,
      });
    }
    const sum = summed(sale, taxAdded);
    total += sum.total;
    for (const { rate, net, tax } of sum.byRate) {
      const before = byRate.get(rate) ?? { rate, net: 0, tax: 0 };
      byRate.set(rate, { rate, net: before.net + net, tax: before.tax + tax });
    }
  }
  const rates = [...byRate.values()].sort((a, b) => Number(a.rate) - Number(b.rate));
  return { lines: [...lines.values()], total, byRate: rates };
}

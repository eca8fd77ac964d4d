/** The phone's rows as the rules take them. */
import { minorOf } from "../money";
import type { RowOf } from "../rows";
import { type Books, books, type Payment, type Sale } from "./told";
import { type Line, summed } from "./totals";

interface With<R> {
  id: string;
  row: R;
}
type SaleRow = RowOf<"sale">;

export function linesOf({ lines, currency }: Pick<SaleRow, "lines" | "currency">): Line[] {
  return lines.map(({ quantity, price, discount, tax }) => ({
    quantity,
    price: minorOf(price, currency),
    discount: minorOf(discount, currency),
    tax,
  }));
}

export function totalOf(row: SaleRow): number {
  return summed(linesOf(row), row.tax_on_top).total;
}

export function saleOf({ id, row }: With<SaleRow>): Sale {
  const { day, paid, beside, replaces } = row;
  // What was taken back stands beside nothing.
  const about = row.lines.length === 0 ? null : row.visit;
  return { id, about, day, paid, beside, replaces, total: totalOf(row) };
}

/** Of a sale that is not here yet, nothing can be said of its currency. */
export function paymentsOf(
  payments: readonly With<RowOf<"payment">>[],
  sales: readonly With<SaleRow>[],
): Payment[] {
  const currencies = new Map(sales.map(({ id, row }) => [id, row.currency]));
  return payments.flatMap(({ id, row }) => {
    const currency = currencies.get(row.sale);
    if (currency === undefined) return [];
    const { sale: about, day, way, beside, replaces } = row;
    return [{ id, about, day, way, beside, replaces, amount: minorOf(row.amount, currency) }];
  });
}

/** What is in somebody's bag of each product, by what they took, counted and sold. */
export function inBag(
  staff: string,
  changes: readonly With<RowOf<"bag_change">>[],
  sold: readonly With<SaleRow>[],
): Map<string, number> {
  const bag = new Map<string, number>();
  const add = (item: string, by: number) => bag.set(item, (bag.get(item) ?? 0) + by);
  for (const { row } of changes) if (row.staff === staff) add(row.item, row.by);
  for (const { row } of sold) {
    if (row.staff !== staff) continue;
    for (const { item, kind, quantity } of row.lines) {
      if (kind === "product" && item) add(item, -quantity);
    }
  }
  return bag;
}

/** Each currency is reckoned by itself: nothing is converted. */
export function byCurrency(
  sales: readonly With<SaleRow>[],
  payments: readonly With<RowOf<"payment">>[],
): Map<string, Books> {
  const codes = [...new Set(sales.map(({ row }) => row.currency))].sort();
  return new Map(
    codes.map((code) => {
      const of = sales.filter(({ row }) => row.currency === code);
      return [code, books(of.map(saleOf), paymentsOf(payments, of))];
    }),
  );
}

/** What came in over some days, by the way in which it did, the ways in the order in which they are given. */
export function byWay(
  { received }: Books,
  ways: readonly string[],
  isIn: (day: string) => boolean,
): [string, number][] {
  const sum = (way: string) =>
    received
      .filter((one) => one.way === way && isIn(one.day))
      .reduce((all, { amount }) => all + amount, 0);
  return ways.map((way): [string, number] => [way, sum(way)]).filter(([, amount]) => amount !== 0);
}

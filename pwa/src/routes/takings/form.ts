/** A sale as it is put together. */
import { moneyText, minorOf } from "../../domain/money";
import type { CommandArgs } from "../../domain/commands";
import type { RowOf } from "../../domain/rows";
import { priceOn } from "../../domain/takings/prices";
import type { Line } from "../../domain/takings/totals";

export const WAYS = ["cash", "card", "transfer", "cheque"] as const;
export const PAID = [...WAYS, "not_yet"] as const;
export type Way = (typeof WAYS)[number];
export type Paid = (typeof PAID)[number];

export interface SaleLine extends Line {
  item: string | null;
  kind: "service" | "product";
  name: string;
}

export interface SaleForm {
  lines: SaleLine[];
  paid: Paid | "";
  /** "" until it is known: the day of the visit, else today. */
  day: string;
}

export function blankSale(): SaleForm {
  return { lines: [], paid: "", day: "" };
}

interface Item {
  id: string;
  row: RowOf<"price_item">;
}

/** What it costs on that day at that place; null where nothing says. Another currency's price is none. */
export function lineOf(
  { id, row }: Item,
  facility: string | null,
  day: string,
  currency: string,
): SaleLine | null {
  const price = priceOn(row.prices, facility, day);
  const amount = price?.amount ?? null;
  if (price?.currency !== currency || amount === null) return null;
  const { kind, name } = row;
  const one = minorOf(amount, currency);
  return { item: id, kind, name, quantity: 1, price: one, discount: 0, tax: price.tax };
}

/** One more of it, or another line. */
export function withOne(lines: readonly SaleLine[], line: SaleLine): SaleLine[] {
  if (!lines.some(({ item }) => item === line.item)) return [...lines, line];
  return lines.map((one) =>
    one.item === line.item ? { ...one, quantity: one.quantity + 1 } : one,
  );
}

export function discountTooLarge({ lines }: SaleForm): boolean {
  return lines.some(({ quantity, price, discount }) => discount > quantity * price);
}

type Told = CommandArgs["record_sale"];

export function linesTold(lines: readonly SaleLine[], currency: string): Told["lines"] {
  return lines.map(({ price, discount, ...line }) => ({
    ...line,
    price: moneyText(price, currency),
    discount: moneyText(discount, currency),
  }));
}

export function linesBack(lines: Told["lines"], currency: string): SaleLine[] {
  return lines.map(({ price, discount, item, tax, ...line }) => ({
    ...line,
    item: item ?? null,
    tax,
    price: minorOf(price, currency),
    discount: minorOf(discount, currency),
  }));
}

/** A sale that was told, told once more as it was but for what is given. */
export function toldAgain(
  row: RowOf<"sale">,
  client: string | null,
  more: Pick<Told, "sale" | "replaces" | "beside"> & Partial<Told>,
): Told {
  const { staff: _, told_at: __, ...told } = row;
  return { ...told, client, ...more };
}

/** An invoice as it is put together, and how one stands. Pure. */
import { byTime } from "../../domain/by-time";
import type { CommandArgs } from "../../domain/commands";
import { daysAfter } from "../../domain/due";
import type { RowOf } from "../../domain/rows";
import { linesOf } from "../../domain/takings/from-rows";
import { type Bill, type Billed, billed } from "../../domain/takings/invoices";
import type { Held } from "../../store";
import type { Day, Id } from "../../wire/types";

type Sale = Held<"sale">;
type Invoice = Held<"invoice">;

export interface BillForm {
  /** Days; "" is no bound. */
  from: string;
  to: string;
  /** null: all of these days. */
  chosen: Id[] | null;
  seller: string;
  buyer: string;
  reference: string;
  how_to_pay: string;
  days: number | null;
  first_number: number | null;
  /** Whether it has been filled in by what was on the last one. */
  begun: boolean;
}

/** Common practice, no source. */
const DAYS_TO_PAY = 30;
/** The numbers of tax offices have more digits in a row than a house, a street or a postal code mostly has. From memory. */
const TAX_NUMBER = /\d(?:[ ./-]?\d){7}/;
/** A postal code of the US with its four more digits is as long as one. */
const ZIP_AND_FOUR = /\b\d{5}-\d{4}\b/g;

export function blankBill(): BillForm {
  return {
    ...{ from: "", to: "", chosen: null, seller: "", buyer: "", reference: "", how_to_pay: "" },
    ...{ days: DAYS_TO_PAY, first_number: 1, begun: false },
  };
}

/** As it stood on the last invoice, and of the buyer on theirs. */
export function begunBill(
  practice: string,
  house: Held<"facility">,
  invoices: readonly Invoice[],
  days: { from: string; to: string },
): BillForm {
  const told = invoices.toSorted(byTime(({ row }) => row.told_at));
  const last = told.at(-1)?.row;
  const theirs = told.findLast(({ row }) => row.facility === house.id)?.row;
  const card = [house.row.name, house.row.address].filter((line) => line !== "").join("\n");
  return {
    ...blankBill(),
    ...days,
    seller: last?.seller ?? practice,
    buyer: theirs?.buyer ?? card,
    how_to_pay: last?.how_to_pay ?? "",
    days: theirs?.days ?? last?.days ?? DAYS_TO_PAY,
    begun: true,
  };
}

/** One that was refused, to be sent again. */
export function billAgain({
  invoice: _,
  facility: __,
  day: ___,
  sales: chosen,
  ...told
}: CommandArgs["issue_invoice"]): BillForm {
  return { ...blankBill(), ...told, chosen, begun: true };
}

export function within<S extends Sale>(sales: readonly S[], { from, to }: BillForm): S[] {
  return sales.filter(
    ({ row }) => (from === "" || row.day >= from) && (to === "" || row.day <= to),
  );
}

export function inOrder(sales: readonly Sale[]): Sale[] {
  const place = ({ id, row }: Sale) => `${row.day} ${id}`;
  return sales.toSorted((a, b) => (place(a) < place(b) ? -1 : 1));
}

/** What some sales come to; they have the currency of the first. */
export function billOf(sales: readonly Sale[]): Bill & { currency: string; taxAdded: boolean } {
  const first = sales[0]?.row;
  const taxAdded = first?.tax_on_top ?? false;
  return { ...billed(sales.map(namedLines), taxAdded), taxAdded, currency: first?.currency ?? "" };
}

function namedLines({ row }: Sale): Billed[] {
  return linesOf(row).map((line, at) => ({ ...line, name: row.lines[at]?.name ?? "" }));
}

/** Two kinds of these can't stand on one invoice. */
export function isMixed(sales: readonly Sale[]): boolean {
  return new Set(sales.map(({ row }) => `${row.currency} ${String(row.tax_on_top)}`)).size > 1;
}

/**
 * What an invoice usually says of who sends it, and this one does not seem to: an address, and with tax the number
 * under which it is paid. Common practice, no source; no book says yet what its place asks for.
 */
export function notOnIt(
  seller: string,
  { byRate }: Pick<Bill, "byRate">,
): ("address" | "tax_number")[] {
  const [, ...below] = seller.split("\n").filter((line) => line.trim() !== "");
  const isNumber = (line: string) => TAX_NUMBER.test(line.replaceAll(ZIP_AND_FOUR, ""));
  const taxed = byRate.some(({ tax }) => tax !== 0);
  return [
    ...(below.some((line) => !isNumber(line)) ? [] : ["address" as const]),
    ...(taxed && !below.some(isNumber) ? ["tax_number" as const] : []),
  ];
}

export function dueOn({ day, days }: Pick<RowOf<"invoice">, "day" | "days">): Day {
  return daysAfter(day, days);
}

export type InvoiceState = "void" | "changed" | "paid" | "late" | "due";

/** `sales` are those on it that stand still, `due` what is due for them. */
export function stateOf(
  { row }: Invoice,
  sales: readonly Sale[],
  due: number,
  today: Day,
): InvoiceState {
  if (row.void_on !== null) return "void";
  if (sales.length < row.sales.length) return "changed";
  if (due <= 0) return "paid";
  return today > dueOn(row) ? "late" : "due";
}

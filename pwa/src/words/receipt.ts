/** What stands on a receipt, in the languages in which clients get letters. The server prints it by the same words. */
import type { Day } from "../wire/types";
import { fill } from "./fill";

const en = {
  title: "Receipt",
  day: "Date",
  date: "{day} {month} {year}",
  months: "January February March April May June July August September October November December",
  reference: "Number",
  total: "Total",
  paid: "How it was paid",
  less: "{amount} off",
  tax_added: "Tax of {rate} %, added: {amount}",
  tax_in_it: "Tax of {rate} % in it: {amount}",
  paid_cash: "in cash",
  paid_card: "by card",
  paid_transfer: "by bank transfer",
  paid_cheque: "by check",
  paid_not_yet: "not paid yet",
  due: "Still to pay: {amount}",
  thanks: "Thank you.",
};

export type ReceiptWord = keyof typeof en;
type Words = Record<ReceiptWord, string>;

const es: Words = {
  title: "Recibo",
  day: "Fecha",
  date: "{day} de {month} de {year}",
  months:
    "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre",
  reference: "Número",
  total: "Total",
  paid: "Cómo se pagó",
  less: "{amount} de descuento",
  tax_added: "Impuesto del {rate} %, añadido: {amount}",
  tax_in_it: "Impuesto del {rate} % incluido: {amount}",
  paid_cash: "en efectivo",
  paid_card: "con tarjeta",
  paid_transfer: "por transferencia bancaria",
  paid_cheque: "con cheque",
  paid_not_yet: "todavía no se pagó",
  due: "Queda por pagar: {amount}",
  thanks: "Gracias.",
};

export const RECEIPT_LANGUAGES = ["en", "es"] as const;
export type ReceiptLanguage = (typeof RECEIPT_LANGUAGES)[number];
const LANGUAGES: Record<ReceiptLanguage, Words> = { en, es };

export function receiptWords(language: ReceiptLanguage): Words {
  return LANGUAGES[language];
}

/** A day as a receipt tells it, on the screen as on the paper. */
export function receiptDay(words: Words, plain: Day): string {
  const [year = 0, month = 1, day = 1] = plain.split("-").map(Number);
  const name = words.months.split(" ")[month - 1] ?? "";
  return fill(words.date, { day, month: name, year: String(year) });
}

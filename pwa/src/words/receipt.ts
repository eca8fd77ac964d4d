/** What stands on a receipt, in the languages in which clients get letters. The server prints it by the same words. */
const en = {
  title: "Receipt",
  day: "Date",
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

/** What the commands about money do to the phone's rows. */
import { amend, type Effect, put } from "./change";

// A phone has its own practice's row and no other.
export const setMoney: Effect<"set_money"> = (money) => [
  { kind: "practice", id: null, scope: null, becomes: (row) => row && { ...row, ...money } },
];

export const setPriceItem: Effect<"set_price_item"> = ({ item, seen, ...card }) => [
  seen === null
    ? put("price_item", item, { ...card, prices: [] }, null)
    : amend("price_item", item, card),
];

export const setPrice: Effect<"set_price"> = ({ price: id, item, ...told }) => [
  amend("price_item", item, ({ prices }) =>
    prices.some((price) => price.id === id) ? {} : { prices: [...prices, { id, ...told }] },
  ),
];

export const recordSale: Effect<"record_sale"> = ({ sale, client, ...told }, made) => [
  put("sale", sale, { ...told, staff: made.staff, told_at: made.at }, null),
  ...(client === null ? [] : [put("sold_to", sale, { client }, client)]),
];

export const recordPayment: Effect<"record_payment"> = ({ payment, ...told }, made) => [
  put("payment", payment, { ...told, staff: made.staff, told_at: made.at }, null),
];

/** Its number comes with the feed: only the server can give one that nobody else has. */
export const issueInvoice: Effect<"issue_invoice"> = (
  { invoice, first_number: _, ...told },
  made,
) => [
  put(
    "invoice",
    invoice,
    { ...told, number: null, told_at: made.at, void_on: null, void_reason: "" },
    null,
  ),
];

export const voidInvoice: Effect<"void_invoice"> = ({ invoice, day, reason }) => [
  amend("invoice", invoice, (row) =>
    row.void_on === null ? { void_on: day, void_reason: reason } : {},
  ),
];

export const changeBag: Effect<"change_bag"> = ({ change, ...told }, made) => [
  put("bag_change", change, { ...told, staff: made.staff, told_at: made.at }, null),
];

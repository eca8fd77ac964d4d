/** What is entered of money. */
import type { Deed, Form, Hand } from "./hand";

export function setMoney(hand: Hand): Promise<Form> {
  const currency = hand.one(["EUR", "JPY", "KWD"]);
  return Promise.resolve({ currency, tax_on_top: hand.number(2) === 0 });
}

/** A new entry of the price list, or a change of one. */
export async function setPriceItem(hand: Hand): Promise<Form> {
  const all = await hand.rows("price_item");
  const held = all.length > 0 && hand.number(3) === 0 ? hand.one(all) : null;
  return {
    item: held?.id ?? hand.id(),
    seen: held?.version ?? null,
    kind: hand.one(["service", "product"]),
    name: `Invented entry ${hand.number(50)}`,
    advice: "",
    given_up: hand.number(4) === 0,
  };
}

export async function setPrice(hand: Hand): Promise<Form | null> {
  const items = await hand.rows("price_item");
  if (items.length === 0) return null;
  const houses = await hand.rows("facility");
  const facility =
    houses.length > 0 && hand.number(2) === 0 ? hand.one(houses).id : null;
  return { ...priceOf(hand, hand.one(items).id), facility };
}

function priceOf(hand: Hand, item: string): Form {
  return {
    price: hand.id(),
    item,
    facility: null,
    currency: "EUR",
    starts: hand.time().slice(0, 10),
    amount: "38.00",
    tax: "20",
  };
}

/** A new entry of the price list with its price. */
export function pricedItem(hand: Hand): Promise<Deed[]> {
  const item = hand.id();
  const entry = {
    item,
    seen: null,
    kind: "service",
    name: `Invented entry ${hand.number(50)}`,
    advice: "",
    given_up: false,
  };
  return Promise.resolve([
    { name: "set_price_item", args: entry },
    { name: "set_price", args: priceOf(hand, item) },
  ]);
}

/** A new sale, to a client or to nobody, or one that corrects what is there. */
export async function recordSale(hand: Hand): Promise<Form> {
  const own = (await hand.rows("sale")).filter(
    ({ row }) => row.staff === hand.staff,
  );
  const clients = await hand.rows("client");
  const houses = await hand.rows("facility");
  const facility =
    houses.length > 0 && hand.number(2) === 0 ? hand.one(houses).id : null;
  const before = own.length > 0 && hand.number(3) === 0 ? hand.one(own) : null;
  const client =
    clients.length > 0 && hand.number(2) === 0 ? hand.one(clients).id : null;
  return {
    ...newSale(hand),
    client,
    facility,
    visit: before?.row.visit ?? hand.id(),
    paid: hand.one(["cash", "card", "not_yet"]),
    replaces: before === null ? [] : [before.id],
  };
}

/** Not paid, and to nobody. */
function newSale(hand: Hand): Form {
  const line = {
    item: null,
    kind: "service",
    name: "Foot care",
    quantity: 1,
    tax: "20",
  };
  return {
    sale: hand.id(),
    client: null,
    facility: null,
    visit: null,
    day: hand.time().slice(0, 10),
    currency: "EUR",
    tax_on_top: hand.number(2) === 0,
    lines: [{ ...line, price: "38.00", discount: `${hand.number(30)}.00` }],
    paid: "not_yet",
    beside: [],
    replaces: [],
  };
}

export async function recordPayment(hand: Hand): Promise<Form | null> {
  const sales = (await hand.rows("sale")).filter(
    ({ row }) => hand.role === "owner" || row.staff === hand.staff,
  );
  if (sales.length === 0) return null;
  const sale = hand.one(sales).id;
  const told = (await hand.rows("payment")).filter(
    ({ row }) => row.sale === sale,
  );
  return {
    payment: hand.id(),
    sale,
    day: hand.time().slice(0, 10),
    amount: `${1 + hand.number(40)}.00`,
    way: hand.one(["cash", "transfer"]),
    beside: told.map(({ id }) => id),
    replaces: [],
  };
}

export async function changeBag(hand: Hand): Promise<Form | null> {
  const items = await hand.rows("price_item");
  if (items.length === 0) return null;
  return {
    change: hand.id(),
    item: hand.one(items).id,
    what: "taken",
    by: 1 + hand.number(9),
  };
}

/** What was sold at a house and is not paid, whatever else became of it: some are refused. */
export async function issueInvoice(hand: Hand): Promise<Form | null> {
  const owed = (await hand.rows("sale")).filter(
    ({ row }) => row.facility !== null && row.paid === "not_yet",
  );
  if (owed.length === 0) return null;
  const { facility } = hand.one(owed).row;
  const there = owed.filter(({ row }) => row.facility === facility);
  return invoiceOf(hand, facility, hand.one(there).id);
}

function invoiceOf(hand: Hand, facility: unknown, sale: unknown): Form {
  return {
    invoice: hand.id(),
    facility,
    sales: [sale],
    day: hand.time().slice(0, 10),
    days: 30,
    seller: "Invented Foot Care",
    buyer: "Invented House",
    reference: "",
    how_to_pay: "",
    first_number: 1 + hand.number(200),
  };
}

/** Something is sold at a house and billed to it. */
export async function billedSale(hand: Hand): Promise<Deed[]> {
  const houses = await hand.rows("facility");
  if (houses.length === 0) return [];
  const facility = hand.one(houses).id;
  const sale = hand.id();
  return [
    { name: "record_sale", args: { ...newSale(hand), sale, facility } },
    { name: "issue_invoice", args: invoiceOf(hand, facility, sale) },
  ];
}

export async function billTakenBack(hand: Hand): Promise<Deed[]> {
  const made = await billedSale(hand);
  const bill = made.at(-1)?.args;
  if (bill === undefined) return [];
  const { invoice, day } = bill;
  return [
    ...made,
    { name: "void_invoice", args: { invoice, day, reason: "" } },
  ];
}

export async function voidInvoice(hand: Hand): Promise<Form | null> {
  const known = await hand.rows("invoice");
  if (known.length === 0) return null;
  const { id } = hand.one(known);
  return { invoice: id, day: hand.time().slice(0, 10), reason: "" };
}

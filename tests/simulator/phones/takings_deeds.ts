/** What is entered of money. */
import type { Form, Hand } from "./hand";

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
  const facility = houses.length > 0 && hand.number(2) === 0 ? hand.one(houses).id : null;
  const price = { price: hand.id(), item: hand.one(items).id, facility, currency: "EUR" };
  return { ...price, starts: hand.time().slice(0, 10), amount: "38.00", tax: "20" };
}

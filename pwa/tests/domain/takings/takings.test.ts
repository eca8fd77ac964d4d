/** Money and prices as the phone has them: the vectors that the server runs as well. */
import { describe, expect, it } from "vitest";

import { minorOf, moneyText, placesOf, readMoney } from "../../../src/domain/money";
import { billed, states } from "../../../src/domain/takings/invoices";
import { priceOn } from "../../../src/domain/takings/prices";
import { books } from "../../../src/domain/takings/told";
import { amountOf, summed } from "../../../src/domain/takings/totals";
import vectors from "../../../../tests/parity/takings.json";

describe("money", () => {
  it.each(vectors.places)("of $currency has $places places", ({ currency, places }) => {
    expect(placesOf(currency)).toBe(places);
  });

  it.each(vectors.texts)("is $text on the wire", ({ currency, minor, text }) => {
    expect(moneyText(minor, currency)).toBe(text);
    expect(minorOf(text, currency)).toBe(minor);
  });

  // The browser's own table agrees for those that its makers did not round off for shops.
  it.each(["JPY", "KRW", "CLP", "KWD", "BHD", "OMR", "GBP", "USD", "EUR"])(
    "has the places of %s",
    (currency) => {
      const by = new Intl.NumberFormat("en", { style: "currency", currency }).resolvedOptions();
      expect(placesOf(currency)).toBe(by.maximumFractionDigits);
    },
  );

  it.each([
    ["12", "GBP", 1200],
    ["12,5", "GBP", 1250],
    [" 12.50 ", "GBP", 1250],
    ["12.505", "GBP", null],
    ["12.505", "KWD", 12505],
    ["1250", "JPY", 1250],
    ["12.5", "JPY", null],
    ["-1", "GBP", null],
    ["twelve", "GBP", null],
    ["", "GBP", null],
  ])("typed as %s in %s", (typed, currency, minor) => {
    expect(readMoney(typed, currency)).toBe(minor);
  });
});

describe("what something costs on a day", () => {
  it.each(vectors.prices.cases)("$why", ({ facility, day, amount }) => {
    expect(priceOn(vectors.prices.list, facility, day)?.amount ?? null).toBe(amount);
  });
});

describe("what a sale comes to", () => {
  it.each(vectors.totals.cases)("$why", ({ lines, on_top, currency, total, by_rate }) => {
    const told = lines.map(({ price, discount, ...line }) => ({
      ...line,
      price: minorOf(price, currency),
      discount: minorOf(discount, currency),
    }));
    const found = summed(told, on_top);
    const text = (minor: number) => moneyText(minor, currency);
    expect(text(found.total)).toBe(total);
    const parts = found.byRate.map(({ rate, net, tax }) => [rate, text(net), text(tax)]);
    expect(parts).toEqual(by_rate);
  });
});

describe("what was received and what is due", () => {
  it.each(vectors.books.cases)("$why", ({ sales, payments, received, unpaid, doubled }) => {
    const found = books(sales, payments);
    expect(found.received.map(({ day, way, amount }) => [day, way, amount])).toEqual(received);
    expect(Object.fromEntries(found.unpaid)).toEqual(unpaid);
    expect([...found.doubled].sort()).toEqual(doubled);
  });
});

describe("whether a sale can be billed", () => {
  it.each(vectors.states.cases)("$why", ({ sales, payments, billed: on, states: expected }) => {
    const found = states(sales, payments, new Set(on));
    expect(Object.fromEntries(found)).toEqual(expected);
  });
});

describe("what an invoice comes to", () => {
  it.each(vectors.bills.cases)("$why", ({ sales, on_top, currency, lines, by_rate, total }) => {
    const told = sales.map((sale) =>
      sale.map(({ price, discount, ...line }) => ({
        ...line,
        price: minorOf(price, currency),
        discount: minorOf(discount, currency),
      })),
    );
    const found = billed(told, on_top);
    const text = (minor: number) => moneyText(minor, currency);
    const listed = found.lines.map((line) => [
      ...[line.name, line.quantity, text(line.price), text(line.discount)],
      ...[line.tax, text(amountOf(line))],
    ]);
    expect(listed).toEqual(lines);
    expect(found.byRate.map(({ rate, net, tax }) => [rate, text(net), text(tax)])).toEqual(by_rate);
    expect(text(found.total)).toBe(total);
  });
});

/** How an invoice is put together on the phone, and how one stands. Common practice, no source. */
import { describe, expect, it } from "vitest";

import type { Held } from "../../store";
import { backTo } from "../attention/again";
import {
  begunBill,
  billOf,
  blankBill,
  dueOn,
  inOrder,
  isMixed,
  notOnIt,
  stateOf,
  within,
} from "./bill";

const LINE = {
  item: null,
  kind: "service",
  name: "Foot care",
  discount: "0.00",
  tax: "0",
} as const;

function sale(id: string, day: string, more: Partial<Held<"sale">["row"]> = {}): Held<"sale"> {
  const row = {
    ...{ staff: "me", facility: "f", visit: null, day, currency: "GBP", tax_on_top: false },
    ...{ lines: [{ ...LINE, quantity: 1, price: "24.00" }], paid: "not_yet", beside: [] },
    ...{ replaces: [], told_at: `${day}T12:00:00Z` },
    ...more,
  };
  return { id, version: 1, pending: false, row } as Held<"sale">;
}

function invoice(id: string, more: Partial<Held<"invoice">["row"]> = {}): Held<"invoice"> {
  const row = {
    ...{ facility: "f", number: 1, sales: ["a", "b"], day: "2026-03-31", days: 30, seller: "Us" },
    ...{ buyer: "Them", reference: "Order 17", how_to_pay: "By transfer" },
    ...{ told_at: "2026-03-31T12:00:00Z", void_on: null, void_reason: "", ...more },
  };
  return { id, version: 1, pending: false, row } as Held<"invoice">;
}

const house = { id: "f", row: { name: "The Limes", address: "1 Long Lane" } } as Held<"facility">;
const DAYS = { from: "2026-03-01", to: "" } as const;

describe("a new invoice", () => {
  it("starts from the card of the facility", () => {
    expect(begunBill("Practice", house, [], DAYS)).toMatchObject({
      ...{ seller: "Practice", buyer: "The Limes\n1 Long Lane", days: 30, from: "2026-03-01" },
    });
  });

  it("says again what the last one said, and to this facility what its last one said", () => {
    const theirs = invoice("a", { days: 14, seller: "Us, before we moved" });
    const later = { facility: "g", buyer: "Others", told_at: "2026-04-01T00:00:00Z" };
    expect(begunBill("Practice", house, [invoice("b", later), theirs], DAYS)).toMatchObject({
      ...{ seller: "Us", buyer: "Them", days: 14, how_to_pay: "By transfer", reference: "" },
    });
  });

  it("has the sales of its days, both ends included", () => {
    const sales = ["2026-03-01", "2026-03-02", "2026-03-03"].map((day) => sale(day, day));
    const ids = (from: string, to: string) =>
      within(sales, { ...blankBill(), from, to }).map(({ id }) => id);
    expect(ids("", "")).toHaveLength(3);
    expect(ids("2026-03-02", "2026-03-02")).toEqual(["2026-03-02"]);
    expect(ids("2026-03-02", "")).toEqual(["2026-03-02", "2026-03-03"]);
  });

  it("comes to the sum of its sales, in the order of their days", () => {
    const sales = inOrder([
      sale("b", "2026-03-02"),
      sale("a", "2026-03-02"),
      sale("c", "2026-03-01"),
    ]);
    expect(sales.map(({ id }) => id)).toEqual(["c", "a", "b"]);
    expect(billOf(sales)).toMatchObject({ total: 7200, currency: "GBP", taxAdded: false });
    expect(billOf([])).toMatchObject({ total: 0, lines: [] });
  });

  it("has one currency, and tax told in one way", () => {
    const one = sale("a", "2026-03-02");
    expect(isMixed([one, sale("b", "2026-03-02")])).toBe(false);
    expect(isMixed([one, sale("b", "2026-03-02", { currency: "EUR" })])).toBe(true);
    expect(isMixed([one, sale("b", "2026-03-02", { tax_on_top: true })])).toBe(true);
  });

  it("that was refused comes back with what was chosen and typed", () => {
    const { number: _, void_on: __, void_reason: ___, told_at: ____, ...told } = invoice("n").row;
    expect(backTo("issue_invoice", { ...told, invoice: "n", first_number: 118 })).toMatchObject({
      ...{ draft: "bill/f/", to: "/facility/f/bill" },
      value: {
        chosen: ["a", "b"],
        buyer: "Them",
        from: "",
        to: "",
        first_number: 118,
        begun: true,
      },
    });
  });
});

describe("an invoice", () => {
  const both = [sale("a", "2026-03-02"), sale("b", "2026-03-09")];
  it.each([
    ["due on its last day", invoice("n"), both, 4800, "2026-04-30", "due"],
    ["late after it", invoice("n"), both, 4800, "2026-05-01", "late"],
    ["late in part", invoice("n"), both, 100, "2026-05-01", "late"],
    ["paid", invoice("n"), both, 0, "2026-05-01", "paid"],
    ["changed", invoice("n"), both.slice(1), 2400, "2026-04-01", "changed"],
    ["void", invoice("n", { void_on: "2026-04-01" }), both, 4800, "2026-05-01", "void"],
  ] as const)("is %s", (_, told, sales, due, today, state) => {
    expect(stateOf(told, sales, due, today)).toBe(state);
  });

  it("is due some days after its own", () => {
    expect(dueOn({ day: "2026-02-14", days: 14 })).toBe("2026-02-28");
    expect(dueOn({ day: "2026-02-14", days: 0 })).toBe("2026-02-14");
  });
});

describe("what an invoice does not say of who sends it", () => {
  const taxed = { byRate: [{ rate: "20", net: 3000, tax: 600 }] };
  const free = { byRate: [{ rate: "0", net: 3000, tax: 0 }] };

  it.each([
    ["Us", free, ["address"]],
    ["Us\n\n  ", taxed, ["address", "tax_number"]],
    ["Us\n3 Ferry Stairs", free, []],
    ["Us\n3 Ferry Stairs", taxed, ["tax_number"]],
    ["Us\n3 Ferry Stairs\nVAT 000 0000 00", taxed, []],
    ["Us\nABN 00 000 000 000", taxed, ["address"]],
    ["Us\n1234 Ferry Street, Quillmere, IL 62704", taxed, ["tax_number"]],
    ["Us\n12 Ferry Street, Quillmere, IL 62704-0001", taxed, ["tax_number"]],
    ["Us\n12 Ferry Street, Quillmere, IL 62704-0001\nTax ID 00-0000000", taxed, []],
  ])("%j", (seller, bill, lacks) => {
    expect(notOnIt(seller, bill)).toEqual(lacks);
  });
});

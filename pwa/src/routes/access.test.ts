/** Who gets which screen, and what an address without a record shows. Check: the roles of the permission table. */
import { describe, expect, it } from "vitest";

import { match } from "../router";
import { access, type Access, type OnPhone } from "./access";
import { routes } from "./index";

type Role = "owner" | "technician" | "coordinator";

const phone = {
  client: [{ id: "c", row: { name: "Ida Invented" } }],
  booking: [
    { id: "b", row: { client: "c" } },
    { id: "lost", row: { client: "gone" } },
  ],
  visit: [{ id: "v", row: { client: "c" } }],
  referral: [{ id: "r", row: { client: "c" } }],
  mishap: [{ id: "m", row: { client: "c" } }],
  kit_thing: [{ id: "t", row: { kind: "set" } }],
  kit_load: [{ id: "l", row: { process: "" } }],
  staff: [{ id: "s", row: { name: "Ada Invented" } }],
  facility: [{ id: "f", row: { name: "The Limes" } }],
  round: [{ id: "r", row: { facility: "f" } }],
  vehicle: [{ id: "v", row: { name: "Blue estate" } }],
  paper: [{ id: "p", row: { name: "First aid" } }],
  sale: [{ id: "s", row: { paid: "cash" } }],
  invoice: [{ id: "n", row: { number: 1 } }],
  price_item: [{ id: "i", row: { name: "Foot care" } }],
} as unknown as OnPhone;
const unread = Object.fromEntries(Object.keys(phone).map((kind) => [kind, null])) as OnPhone;

function at(address: string, role: Role = "technician", on: OnPhone = phone): Access {
  const found = match(routes, address);
  if (!found) throw new Error(`no screen at ${address}`);
  return access(found.route, found.params, role, on);
}

const FOR_TECHNICIANS = [
  "#/day/2026-11-28/order",
  "#/plan",
  "#/prices",
  "#/takings",
  "#/takings/new",
  "#/takings/log",
  "#/visit/v/takings",
  "#/sale/s",
  "#/sale/s/correct",
  "#/sale/s/receipt",
  "#/bag",
  "#/miles",
  "#/miles/vehicle/new",
  "#/miles/vehicle/v",
  "#/miles/day/2026-03-02",
  "#/miles/log",
  "#/client/c/screen",
  "#/client/c/answers/s",
  "#/client/c/feet",
  "#/client/c/feet/f",
  "#/client/c/over-time",
  "#/client/c/outcome",
  "#/client/c/consent",
  "#/client/c/clearance",
  "#/client/c/clearance/r",
  "#/booking/b/visit",
  "#/booking/b/sign-off",
  "#/booking/b/visit/set",
  "#/visit/v/aftercare",
  "#/visit/v/mishap",
  "#/booking/b/mishap",
  "#/client/c/mishap",
  "#/mishap/m",
  "#/referral/r",
  "#/referral/r/answer",
  "#/client/c/free",
  "#/hours",
  "#/hours/s",
  "#/kit",
  "#/kit/mix",
  "#/kit/cycle/new",
  "#/kit/cycle/new/t",
  "#/kit/cycle/l",
  "#/kit/machine/t/check",
  "#/kit/packing",
  "#/kit/packing/2026-11-30",
  "#/kit/scan",
  "#/kit/all/lot",
  "#/kit/new/set",
  "#/kit/several/wash",
  "#/kit/t/edit",
  "#/kit/t",
  "#/check-in",
  "#/papers",
  "#/papers/new",
  "#/papers/p",
  "#/kit/log",
  "#/kit/checklists",
  "#/kit/checklist/weekly",
  "#/kit/trace/client/c",
  "#/kit/trace/cycle/l",
  "#/kit/trace/set/t",
  "#/kit/trace/lot/t",
  "#/kit/trace/product/t",
  "#/kit/trace/machine/t",
];

describe("a screen of the visit", () => {
  it.each(FOR_TECHNICIANS)("%s is not for a coordinator, whatever the phone holds", (address) => {
    expect(at(address, "coordinator")).toBe("not_for_role");
    expect(at(address, "coordinator", unread)).toBe("not_for_role");
    expect(at(address, "technician")).toBe("open");
    expect(at(address, "owner")).toBe("open");
  });

  it("is every one that the table keeps from coordinators", () => {
    const kept = routes.filter(({ roles }) => roles && !roles.includes("coordinator"));
    const owners = kept.filter(({ roles }) => !roles?.includes("technician"));
    expect(kept).toHaveLength(FOR_TECHNICIANS.length + owners.length);
    expect(owners.map(({ path }) => path)).toEqual([
      "invoices",
      "invoice/:invoice",
      "facility/:facility/bill",
      "facility/:facility/bill/:day",
      "prices/new",
      "prices/:price_item",
    ]);
  });
});

describe("the price list", () => {
  it.each(["#/prices/new", "#/prices/i"])("%s is changed by the owner alone", (address) => {
    expect(at(address, "technician")).toBe("not_for_role");
    expect(at(address, "coordinator")).toBe("not_for_role");
    expect(at(address, "owner")).toBe("open");
  });
});

describe("invoices", () => {
  it.each(["#/invoices", "#/invoice/n", "#/facility/f/bill", "#/facility/f/bill/2026-03-02"])(
    "%s is the owner's alone",
    (address) => {
      expect(at(address, "technician")).toBe("not_for_role");
      expect(at(address, "coordinator")).toBe("not_for_role");
      expect(at(address, "owner")).toBe("open");
    },
  );
});

describe("a coordinator", () => {
  it.each([
    "#/residents",
    "#/due",
    "#/client/c",
    "#/client/c/book",
    "#/waiting",
    "#/client/c/wait",
    "#/booking/b",
    "#/clients/new",
  ])("has %s", (address) => {
    expect(at(address, "coordinator")).toBe("open");
  });
});

describe("an address of something that is not on the phone", () => {
  it.each([
    "#/client/zzz",
    "#/client/zzz/feet",
    "#/booking/zzz",
    "#/booking/zzz/visit",
    "#/booking/lost/visit",
    "#/visit/zzz/aftercare",
    "#/referral/zzz",
  ])("%s leads nowhere, once the phone has been read", (address) => {
    expect(at(address)).toBe("not_found");
    expect(at(address, "technician", unread)).toBe("open");
  });
});

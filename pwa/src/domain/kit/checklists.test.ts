/** The checklists: what stands on them, and when they are due. Check: our own rules; the lines are the book's. */
import { describe, expect, it } from "vitest";

import { bookOf } from "../screening/vectors";
import {
  cleansHands,
  dueChecklists,
  itemsFor,
  lastSigned,
  OCCASIONS,
  placesOf,
  staysWet,
  tickedTogether,
} from "./checklists";

const items = bookOf("base").checklist_items ?? [];
const NOW = new Date("2026-11-25T07:00:00Z");
const dayOf = (at: string | Date) => new Date(at).toISOString().slice(0, 10);
const signed = (occasion: string, at: string, staff = "me") => ({
  ...{ occasion, staff },
  signed_at: `${at}:00Z`,
});
const WEEK = signed("weekly", "2026-11-20T08:00", "other");

describe("a checklist", () => {
  it("has the lines of its place, and asks for the place where there is a choice", () => {
    expect(placesOf(items, "before_leaving")).toEqual([]);
    expect(placesOf(items, "on_arrival")).toEqual(["home", "facility"]);
    expect(placesOf(items, "between_clients")).toEqual(["facility"]);
    function at(where: "home" | "facility") {
      return itemsFor(items, "on_arrival", where).map(({ id }) => id);
    }
    expect(at("home")).toContain("pets_out");
    expect(at("home")).not.toContain("staff_told");
    expect(at("facility")).toContain("staff_told");
  });

  it("has lines that one tap ticks: what is just done, and was not told of before", () => {
    const arrival = itemsFor(items, "on_arrival", "home").filter((item) => !cleansHands(item));
    expect(tickedTogether(itemsFor(items, "on_arrival", "home"), {})).toEqual(arrival);
    const told = { light: "not_done", chair: "done", pets_out: "not_needed" } as const;
    const rest = tickedTogether(arrival, told).map(({ id }) => id);
    expect(rest).toHaveLength(arrival.length - 3);
    expect(rest.filter((id) => id in told)).toEqual([]);
    expect(tickedTogether(itemsFor(items, "weekly", null), {})).toEqual([]);
    const leaving = tickedTogether(itemsFor(items, "on_leaving", null), {});
    expect(leaving.map(({ id }) => id)).not.toContain("surfaces_wiped");
  });

  it("has lines at which something stays wet for the time on a label", () => {
    const wet = items.filter(staysWet).map(({ id }) => id);
    expect(wet).toEqual(["surfaces_between", "handpiece_between", "surfaces_wiped"]);
  });

  it("of a book of before has none that one tap ticks", () => {
    const before = items.map(({ just_done: _, ...rest }) => rest);
    expect(tickedTogether(before, {})).toEqual([]);
  });

  it("is there for every occasion of the book", () => {
    expect(new Set(items.map(({ occasion }) => occasion))).toEqual(new Set(OCCASIONS));
  });

  it("was signed last by whoever did so last", () => {
    const both = [
      WEEK,
      signed("weekly", "2026-11-24T08:00"),
      signed("on_arrival", "2026-11-25T08:00"),
    ];
    expect(lastSigned(both, "weekly")).toEqual(both[1]);
    expect(lastSigned(both, "end_of_day")).toBeUndefined();
  });
});

describe("a checklist that is due", () => {
  function due(visits: [begun: number, over: number, all: number], ...before: (typeof WEEK)[]) {
    const [begun, over, all] = visits;
    return dueChecklists({
      signed: before,
      me: "me",
      visits: { begun, over, all },
      now: NOW,
      dayOf,
    });
  }

  it("is the one before leaving until the first visit begins, unless it is signed", () => {
    expect(due([0, 0, 3], WEEK)).toEqual(["before_leaving"]);
    expect(due([1, 0, 3], WEEK)).toEqual([]);
    expect(due([0, 0, 3], WEEK, signed("before_leaving", "2026-11-25T06:00"))).toEqual([]);
    expect(due([0, 0, 3], WEEK, signed("before_leaving", "2026-11-24T06:00"))).toHaveLength(1);
    expect(
      due([0, 0, 3], WEEK, signed("before_leaving", "2026-11-25T06:00", "other")),
    ).toHaveLength(1);
  });

  it("is the one of the day's end once every visit is over", () => {
    expect(due([3, 2, 3], WEEK)).toEqual([]);
    expect(due([3, 3, 3], WEEK)).toEqual(["end_of_day"]);
    expect(due([0, 0, 0], WEEK)).toEqual([]);
    expect(due([3, 3, 3], WEEK, signed("end_of_day", "2026-11-25T06:30"))).toEqual([]);
  });

  it("is the week's where nobody has signed it for seven days", () => {
    expect(due([0, 0, 0])).toEqual(["weekly"]);
    expect(due([0, 0, 0], signed("weekly", "2026-11-18T06:59"))).toEqual(["weekly"]);
    expect(due([0, 0, 0], signed("weekly", "2026-11-18T07:00", "other"))).toEqual([]);
  });
});

/** Who stands on the list, and what is offered to whom, from the rows of a phone. Check: our own rule. */
import { beforeAll, describe, expect, it } from "vitest";

import type { Held } from "../../store";
import { setPlace } from "../../words/format";
import type { Known } from "../booking/against";
import { addressOf, freedAt } from "./address";
import { bookedWithin, lackingWish, wishForm } from "./form";
import { type Freed, freeTimes, offersFor, waitingList } from "./waits";

beforeAll(() => {
  setPlace({ zone: "Europe/London", units: "mm" }, ["en-GB"]);
});

// A Monday in summer time: 09:00 there is 08:00 in UTC.
const DAY = "2027-07-05";
const NOW = new Date("2027-07-01T10:00:00Z");
const HOURS = { weekday: 0, starts: "09:00", ends: "12:00", breaks: [] };

function client(id: string, more: object = {}) {
  const row = { name: id, facility: null, visit_times: [], status: "active", ...more };
  return { id, row } as unknown as Held<"client">;
}

function entry(of: string, since: string, more: object = {}) {
  const wish = { first: "2027-07-01", last: null, times: [], minutes: 30, staff: null };
  const row = { client: of, since, state: "waiting", ...wish, ...more };
  return { id: `e-${of}`, row } as unknown as Held<"waiting">;
}

function booking(id: string, of: string, starts_at: string, state = "booked") {
  const row = { client: of, staff: "me", state, starts_at, minutes: 45, place: "home" };
  return { id, row } as unknown as Held<"booking">;
}

const NONE: Known = {
  ...{ bookings: [], off: [], visits: [], facilities: [], travel: null },
  clients: ["late", "first", "second", "away", "off"].map((id) =>
    client(id, id === "away" ? { status: "in_hospital" } : {}),
  ),
  weeks: [{ id: "me", row: { days: [HOURS], skills: [] } }] as unknown as Held<"working_week">[],
};
const ENTRIES = [
  entry("second", "2027-06-02T10:00:00Z"),
  entry("late", "2027-06-03T10:00:00Z"),
  entry("first", "2027-06-01T10:00:00Z"),
  entry("away", "2027-05-01T10:00:00Z"),
  entry("off", "2027-05-01T10:00:00Z", { state: "stopped" }),
  entry("unknown", "2027-05-01T10:00:00Z"),
];
const FREED: Freed = { booking: "b", staff: "me", day: DAY, clock: "10:00", minutes: 45 };

function list(known: Known, entries = ENTRIES) {
  return waitingList(
    entries,
    known,
    ({ id }) => (id === "late" ? "2027-06-30" : null),
    "2027-07-01",
  );
}

function offered(known: Known, knowsDay = true, now = NOW, entries = ENTRIES) {
  const made = offersFor(FREED, list(known, entries), known, knowsDay, now);
  return made.map(({ waits, clock }) => [waits.client.id, clock]);
}

describe("the list", () => {
  it("has whoever is overdue first, and a card that this phone does not have not at all", () => {
    expect(list(NONE).map(({ client: { id }, standing }) => [id, standing])).toEqual([
      ["late", "waits"],
      ["away", "waits"],
      ["off", "stopped"],
      ["first", "waits"],
      ["second", "waits"],
    ]);
  });

  it("lets a booked visit end the waiting, and one that falls through not", () => {
    const at = "2027-07-05T08:00:00Z";
    const standing = (state: string) =>
      list({ ...NONE, bookings: [booking("b", "first", at, state)] }).find(
        ({ client: { id } }) => id === "first",
      )?.standing;
    expect(["booked", "done", "cancelled", "not_seen"].map(standing)).toEqual([
      ...["has_time", "has_time", "waits", "waits"],
    ]);
  });
});

describe("what became free", () => {
  const cancelled = booking("b", "gone", "2027-07-05T09:00:00Z", "cancelled");

  it("is offered in turn, to nobody who is away or stopped", () => {
    const known = { ...NONE, bookings: [cancelled] };
    expect(offered(known)).toEqual([
      ["late", "10:00"],
      ["first", "10:00"],
      ["second", "10:00"],
    ]);
  });

  it("is not offered to whose visit it was", () => {
    const theirs = booking("b", "first", "2027-07-05T09:00:00Z", "cancelled");
    expect(offered({ ...NONE, bookings: [theirs] }).map(([id]) => id)).toEqual(["late", "second"]);
  });

  it("reaches beyond its end only where the phone has the technician's other visits", () => {
    const long = [entry("first", "2027-06-01T10:00:00Z", { minutes: 60 })];
    const known = { ...NONE, bookings: [cancelled] };
    expect(offered(known, true, NOW, long)).toEqual([["first", "10:00"]]);
    expect(offered(known, false, NOW, long)).toEqual([]);
    const after = [cancelled, booking("n", "other", "2027-07-05T09:45:00Z")];
    expect(offered({ ...NONE, bookings: after }, true, NOW, long)).toEqual([["first", "09:45"]]);
  });

  it("is what is left of it today, and nothing once it is past", () => {
    const known = { ...NONE, bookings: [cancelled] };
    const one = ENTRIES.slice(2, 3);
    expect(offered(known, true, new Date("2027-07-05T09:10:00Z"), one)).toEqual([
      ["first", "10:15"],
    ]);
    expect(offered(known, true, new Date("2027-07-05T09:50:00Z"), one)).toEqual([]);
    expect(offered(known, true, new Date("2027-07-06T08:00:00Z"), one)).toEqual([]);
  });

  it("is offered outside of the hours where it lay there, no longer than it was, and says so", () => {
    const known = { ...NONE, bookings: [cancelled] };
    const early = { ...FREED, clock: "07:00" };
    const offers = (freed: Freed, entries: typeof ENTRIES, than = known) =>
      offersFor(freed, list(than, entries), than, true, NOW).map(({ clock, outside }) => [
        clock,
        outside,
      ]);
    const one = ENTRIES.slice(2, 3);
    expect(offers(early, one)).toEqual([["07:00", true]]);
    expect(offers(FREED, one)).toEqual([["10:00", false]]);
    const long = [entry("first", "2027-06-01T10:00:00Z", { minutes: 50 })];
    expect(offers(early, long)).toEqual([]);
    const off = [{ id: "o", row: { staff: "me", first: DAY, last: DAY } }];
    expect(offers(early, one, { ...known, off: off as unknown as Known["off"] })).toEqual([]);
  });

  it("has an address that says it again", () => {
    const params = ["", "", "booking", "", "staff", "day", "clock", "long"];
    const parts = addressOf(FREED).split("/");
    const named = Object.fromEntries(params.map((name, at) => [name, parts[at] ?? ""]));
    expect(freedAt({ ...named, booking: parts[2] ?? "" })).toEqual(FREED);
  });
});

describe("the free times of a client", () => {
  it("are the earliest in each gap of the next fourteen days, by the hours of each", () => {
    const [waits] = list(NONE, ENTRIES.slice(2, 3));
    const bookings = [booking("b", "other", "2027-07-05T09:00:00Z")];
    const times = waits && freeTimes(waits, ["me"], { ...NONE, bookings }, NOW);
    expect(times?.map(({ day, clock }) => `${day} ${clock}`)).toEqual([
      "2027-07-05 09:00",
      "2027-07-05 10:45",
      "2027-07-12 09:00",
    ]);
  });

  it("are from nine to five for whoever has set no hours", () => {
    const [waits] = list(NONE, ENTRIES.slice(2, 3));
    const times = waits && freeTimes(waits, ["me"], { ...NONE, weeks: [] }, NOW);
    expect(times).toHaveLength(14);
    // It is eleven there.
    expect(times?.[0]).toEqual({ day: "2027-07-01", clock: "11:05", staff: "me" });
    expect(times?.[1]?.clock).toBe("09:00");
  });
});

describe("the form of a wish", () => {
  const wish = { first: DAY, last: null, times: [], minutes: 30, staff: null };

  it("names what is missing or can't be", () => {
    expect(lackingWish(wishForm(wish, 1))).toEqual([]);
    const wrong = {
      first: "",
      minutes: null,
      times: [{ weekday: 0, starts: "10:00", ends: "09:00" }],
    };
    expect(lackingWish({ ...wishForm(wish, 1), ...wrong })).toEqual([
      ...["waiting.first", "booking.minutes", "waiting.times"],
    ]);
    expect(lackingWish({ ...wishForm(wish, 1), last: "2027-07-04" })).toEqual(["waiting.last"]);
  });

  it("asks for an earlier last day where a visit is booked among its days", () => {
    const days = ["2027-07-04", "2027-08-01"];
    expect(bookedWithin({ first: DAY, last: "" }, days)).toBe("2027-08-01");
    expect(bookedWithin({ first: DAY, last: "2027-07-31" }, days)).toBeUndefined();
  });
});

/** Check: our own rule. */
import { describe, expect, it } from "vitest";
import type { Held } from "../../store";
import type { Told } from "../client/resident-states";
import {
  blankRound,
  changesOf,
  doubtful,
  planned,
  quietOf,
  residentsOf,
  runsInto,
  toChoose,
  visitsOf,
} from "./plan";

type Kind = "client" | "facility" | "booking" | "working_week";
function held<K extends Kind>(id: string, row: object, version = 5): Held<K> {
  return { id, scope: null, version, pending: false, row } as unknown as Held<K>;
}

const DAY = "2026-12-02";
const NOW = new Date("2026-11-28T12:00:00Z");
const HOUSE = held<"facility">("f", {
  name: "House",
  corridors: ["North"],
  quiet_times: [{ name: "Lunch", starts: "12:00", ends: "13:00" }],
});
const home = { facility: "f", corridor: "North", status: "active" };
const CLIENTS = [
  held<"client">("a", { ...home, name: "Ana", room: "10" }),
  held<"client">("b", { ...home, name: "Bo", room: "9" }),
  held<"client">("c", { ...home, name: "Cy", room: "1", see_last: true }),
  held<"client">("d", { ...home, name: "Di", room: "2", status: "in_hospital" }),
  held<"client">("e", { name: "Ed", facility: null }),
];
const visit = (client: string, starts_at: string, state = "booked") => ({
  ...{ client, staff: "x", starts_at, minutes: 40, state, place: "facility", service: "" },
});
const BOOKINGS = [
  held<"booking">("1", visit("a", "2026-12-02T15:00:00Z"), 8),
  held<"booking">("2", visit("b", "2026-10-01T10:00:00Z", "done")),
  held<"booking">("3", visit("b", "2026-11-01T10:00:00Z", "done")),
  held<"booking">("4", visit("e", "2026-12-02T11:40:00Z")),
];
const form = { ...blankRound(), day: DAY, starts: "11:00", staff: ["x"], chosen: ["b", "c"] };
const TOLD: Record<string, Told> = {
  a: { consent_until: "2027-01-01", screen_until: "2026-12-01", due: null },
  b: {
    consent_until: "2026-12-01",
    screen_until: "2026-12-02",
    due: { first: "2026-11-15", last: "2026-11-30" },
  },
  c: { consent_until: null, screen_until: null, due: { first: "2026-12-02", last: "2026-12-09" } },
};
const toldOf = ({ id }: Held<"client">) =>
  TOLD[id] ?? { consent_until: undefined, screen_until: null, due: null };
const residents = residentsOf(HOUSE, CLIENTS, BOOKINGS, form, NOW, toldOf);
const round = planned(residents, form, quietOf(HOUSE));

describe("a round that is planned", () => {
  it("has those who get visits, as one walks, with their last visit and the one of that day", () => {
    expect(residents.map(({ client, last, booking }) => [client, last, booking?.id])).toEqual([
      ["b", "2026-11-01", undefined],
      ["a", null, "1"],
      ["c", null, undefined],
    ]);
  });

  it("says how it stands on the day of the round, and leaves out whoever has no consent where that is wished", () => {
    expect(residents.map(({ client, states, state }) => [client, states, state])).toEqual([
      ["b", { consent: "renew", screen: "recent" }, "overdue"],
      ["a", { consent: "stands", screen: "due" }, "booked"],
      ["c", { consent: "missing", screen: "due" }, "due"],
    ]);
    expect(toChoose(residents, true)).toEqual(["b"]);
    expect(toChoose(residents, false)).toEqual(["b", "c"]);
  });

  it("has a time for each who was chosen or is booked, and leaves lunch free", () => {
    expect(round.map(({ client, starts, after }) => [client, starts, after])).toEqual([
      ["b", 660, null],
      ["a", 780, "Lunch"],
      ["c", 820, null],
    ]);
  });

  it("says who has a visit ahead", () => {
    const later = held<"booking">("5", visit("b", "2026-12-09T15:00:00Z"));
    const sooner = held<"booking">("6", visit("b", "2026-11-30T15:00:00Z"));
    const rows = [HOUSE, CLIENTS, [...BOOKINGS, later, sooner], form, NOW, toldOf] as const;
    expect(residentsOf(...rows).map(({ client, next }) => [client, next])).toEqual([
      ["b", "2026-11-30"],
      ["a", "2026-12-02"],
      ["c", null],
    ]);
  });

  it("says of a visit that stands when it was, and that it changes hands", () => {
    expect(round.map((stop) => [stop.client, changesOf(stop)])).toEqual([
      ["b", { from: null, handed: false }],
      ["a", { from: "15:00", handed: false }],
      ["c", { from: null, handed: false }],
    ]);
    const others = planned(residents, { ...form, starts: "15:00", staff: ["y"], chosen: [] }, []);
    expect(others.map(changesOf)).toEqual([{ from: null, handed: true }]);
  });

  it("moves the visit that stands and books the others, in one", () => {
    const ids = ["n1", "n2"];
    const visits = visitsOf(round, DAY, () => ids.shift() ?? "");
    expect(
      visits.map(({ booking, seen, minutes, starts_at }) => [booking, seen, minutes, starts_at]),
    ).toEqual([
      ["n1", null, 30, "2026-12-02T11:00:00.000Z"],
      ["1", 8, 40, "2026-12-02T13:00:00.000Z"],
      ["n2", null, 30, "2026-12-02T13:40:00.000Z"],
    ]);
  });

  it("names the stops outside of the hours, and those that run into another visit", () => {
    const days = [{ weekday: 2, starts: "09:00", ends: "13:30", breaks: [] }];
    const weeks = [held<"working_week">("x", { days })];
    const nowhere = { clients: CLIENTS, facilities: [], travel: null };
    const known = { visits: [], bookings: BOOKINGS, weeks, off: [], ...nowhere };
    const found = doubtful(round, DAY, CLIENTS, known);
    expect(found.map(({ stop, codes }) => [stop.client, codes])).toEqual([
      ["a", ["outside_hours"]],
      ["c", ["outside_hours"]],
    ]);
    expect(runsInto(round, DAY, BOOKINGS)).toEqual([]);
    const earlier = planned(residents, { ...form, starts: "11:20" }, []);
    expect(runsInto(earlier, DAY, BOOKINGS).map(({ client }) => client)).toEqual(["b", "a"]);
  });
});

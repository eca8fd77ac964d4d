/** What the phone's own rows say against a time. Check: our own rule; the rule itself runs the shared vectors. */
import { beforeAll, describe, expect, it } from "vitest";

import type { Held } from "../../store";
import { setPlace } from "../../words/format";
import { against as found, type Known } from "./against";

beforeAll(() => {
  setPlace({ zone: "Europe/London", units: "mm" }, ["en-GB"]);
});

const CLIENT = { id: "c", row: { facility: null, visit_times: [], may_wait: false } };
const WHEN = { day: "2027-07-05", clock: "09:00", minutes: 45, staff: "me" };
const NOWHERE = { clients: [], facilities: [], travel: null };
const NONE: Known = { bookings: [], weeks: [], off: [], visits: [], ...NOWHERE };
const VISIT = {
  id: "v",
  row: {
    ...{ client: "c", state: "completed", booking: null, started_at: "2027-05-03T09:00:00Z" },
    record: { weeks_until_next: 6 },
  },
} as unknown as Held<"visit">;

function booking(id: string, starts_at: string, client = "c") {
  const row = { client, staff: "me", state: "booked", starts_at, minutes: 45 };
  return { id, row } as unknown as Held<"booking">;
}

function against(...given: Parameters<typeof found>) {
  return found(...given).codes;
}

describe("against a time", () => {
  it("speaks that the way from the visit before takes longer, by the doors on this phone", () => {
    const at = (id: string, lat: number) => ({ id, row: { position: { lat, lon: 0 } } });
    const before = booking("b", "2027-07-05T07:10:00Z", "other");
    const known = {
      ...{ ...NONE, bookings: [{ ...before, row: { ...before.row, place: "home" as const } }] },
      clients: [at("c", 51.5), at("other", 51.59)] as unknown as Held<"client">[],
      travel: { road_percent: 100, speeds: [{ up_to_m: null, km_h: 60 }] },
    };
    // Nine hundredths of a degree of latitude are 10,007 m, and 60 km/h are a kilometre a minute.
    const { codes, squeezes } = found(WHEN, CLIENT, known);
    expect(codes).toEqual(["short_travel"]);
    expect(squeezes).toEqual([{ before: true, drive: 10, between: 5 }]);
    expect(against(WHEN, CLIENT, { ...known, travel: null })).toEqual([]);
    expect(against(WHEN, CLIENT, { ...known, clients: known.clients.slice(0, 1) })).toEqual([]);
  });

  it("speaks nothing where nothing is known, or the form is not filled in", () => {
    expect(against(WHEN, CLIENT, NONE)).toEqual([]);
    expect(against({ ...WHEN, clock: "" }, CLIENT, { ...NONE, visits: [VISIT] })).toEqual([]);
  });

  it("says that the next visit is overdue by then, and says so of no later one", () => {
    const known = { ...NONE, visits: [VISIT] };
    expect(against(WHEN, CLIENT, known)).toEqual(["too_late"]);
    const before = { ...known, bookings: [booking("b", "2027-06-14T09:00:00Z")] };
    expect(against(WHEN, CLIENT, before)).toEqual([]);
    const others = { ...known, bookings: [booking("b", "2027-06-14T09:00:00Z", "other")] };
    expect(against(WHEN, CLIENT, others)).toEqual(["too_late"]);
  });

  it("is silent where the visit stood on that day, or on a later one", () => {
    const stood = { ...NONE, visits: [VISIT], bookings: [booking("b", "2027-07-05T15:00:00Z")] };
    expect(against(WHEN, CLIENT, stood, "b")).toEqual([]);
    expect(against({ ...WHEN, day: "2027-07-06" }, CLIENT, stood, "b")).toEqual(["too_late"]);
  });

  it("speaks a day off of the technician or of all, and not that of another", () => {
    const off = (staff: string | null) => ({
      ...NONE,
      off: [{ id: "o", row: { staff, first: WHEN.day, last: WHEN.day } } as Held<"time_off">],
    });
    expect(against(WHEN, CLIENT, off("me"))).toEqual(["day_off"]);
    expect(against(WHEN, CLIENT, off(null))).toEqual(["day_off"]);
    expect(against(WHEN, CLIENT, off("other"))).toEqual([]);
  });
});

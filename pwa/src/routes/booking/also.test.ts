/** What a client has booked already. Check: our own rule. */
import { beforeAll, expect, it } from "vitest";

import type { ClientFile } from "../client/file";
import { setPlace } from "../../words/format";
import { alsoBooked } from "./also";

beforeAll(() => {
  setPlace({ zone: "America/New_York", units: "mm" }, ["en-US"]);
});

function booking(id: string, starts_at: string, state = "booked") {
  return { id, row: { state, starts_at } };
}

it("names what stands from today on, and not what was made, called off or is in the form itself", () => {
  const file = {
    day: "2026-11-28",
    bookings: [
      booking("long_past", "2026-11-02T15:00:00Z"),
      // The evening before, in New York.
      booking("yesterday", "2026-11-28T03:00:00Z"),
      booking("this_morning", "2026-11-28T13:00:00Z"),
      booking("made", "2026-11-28T14:00:00Z"),
      booking("called_off", "2026-12-01T15:00:00Z", "cancelled"),
      booking("moved_now", "2026-12-02T15:00:00Z"),
      booking("later", "2027-01-05T15:00:00Z"),
    ],
    visits: [{ row: { state: "completed", booking: "made" } }],
  } as unknown as ClientFile;
  const named = (but: string[]) => alsoBooked(file, but).map(({ id }) => id);
  expect(named(["moved_now"])).toEqual(["this_morning", "later"]);
  expect(named([])).toEqual(["this_morning", "moved_now", "later"]);
});

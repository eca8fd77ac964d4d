/** What a visit is booked for, and how long. Check: our own rule; the sums run the shared vectors. */
import { expect, it } from "vitest";

import type { Service } from "../../domain/screening/book";
import type { ClientFile } from "../client/file";
import { lengthOf, usualService } from "./service";

function service(id: string, minutes: number, for_new = false): Service {
  return { id, minutes, for_new, source: "", basis: "common_practice" };
}
const [CARE, FIRST, NAILS] = [
  service("care", 60),
  service("first", 75, true),
  service("nails", 30),
];
const ALL = [CARE, FIRST, NAILS];

function past(...visits: [service: string, minutes: number, state?: string][]): ClientFile {
  const at = (minutes: number) => new Date(Date.UTC(2027, 0, 1, 9, minutes)).toISOString();
  return {
    bookings: visits.map(([booked], n) => ({ id: `b${String(n)}`, row: { service: booked } })),
    visits: visits.map(([, minutes, state = "completed"], n) => ({
      row: { state, booking: `b${String(n)}`, started_at: at(0), ended_at: at(minutes) },
    })),
  } as unknown as ClientFile;
}

it("proposes the service of the last visit, and by the book where there was none", () => {
  expect(usualService(past(), ALL)).toBe(FIRST);
  expect(usualService(past(["nails", 30]), ALL)).toBe(NAILS);
  expect(usualService(past(["first", 80]), ALL)).toBe(CARE);
  expect(usualService(past(["", 40]), ALL)).toBe(CARE);
  expect(usualService(past(["gone_from_the_book", 40]), ALL)).toBe(CARE);
  expect(usualService(past(["nails", 0, "started"]), ALL)).toBe(FIRST);
  expect(usualService(past(), [])).toBeUndefined();
});

it("takes the length from the client's own visits for it that were made whole", () => {
  const seen = past(["care", 41], ["nails", 20], ["", 42], ["care", 5, "ended_early"]);
  expect(lengthOf(seen, CARE)).toEqual({ minutes: 45, visits: 2 });
  expect(lengthOf(seen, NAILS)).toEqual({ minutes: 35, visits: 2 });
  expect(lengthOf(past(["", 42], ["", 42]), FIRST)).toEqual({ minutes: 75, visits: 0 });
});

/** Which refused entries lead back to a day's best order. Check: our own rule. */
import { beforeAll, expect, it } from "vitest";

import { setPlace } from "../../words/format";
import { dayOrdered } from "./day-order";

beforeAll(() => {
  setPlace({ zone: "America/New_York", units: "in" }, ["en-US"]);
});

const visit = { booking: "b", seen: 3, staff: "me", starts_at: "2026-12-07T14:00:00Z" };
// Still that day in New York.
const evening = { ...visit, booking: "c", starts_at: "2026-12-08T01:00:00Z" };

it.each([
  ["several visits of one day", [visit, evening], "2026-12-07"],
  ["one visit", [visit], null],
  ["two days", [visit, { ...visit, starts_at: "2026-12-09T14:00:00Z" }], null],
  ["visits that were to be booked", [visit, { ...evening, seen: null }], null],
  ["the day of somebody else", [visit, { ...evening, staff: "colleague" }], null],
])("of %s it is %o", (_, visits, day) => {
  const item = { name: "arrange_visits", args: { visits, meant: [] } } as const;
  expect(dayOrdered(item, "me", "2026-12-07")).toBe(day);
  expect(dayOrdered(item, "me", "2026-12-08")).toBeNull();
  expect(dayOrdered({ ...item, name: "plan_round" }, "me", "2026-12-07")).toBeNull();
});

/** Who stands on the list, as what, and in which order. Check: our own rule. */
import { expect, test } from "vitest";

import type { Held } from "../../store";
import { dueBy } from "../client/resident-states";
import { byClient, dueList, nextDue } from "./due-list";

const TODAY = "2027-01-05";
const dayOf = (at: string) => at.slice(0, 10);

function client(id: string, more: object = {}) {
  const row = { name: id, address: "1 Long Lane", facility: null, room: "", ...more };
  return { id, row } as unknown as Held<"client">;
}

function visit(of: string, day: string, weeks: number | null, state = "completed") {
  const record = { weeks_until_next: weeks };
  const row = { client: of, state, started_at: `${day}T10:00:00Z`, booking: null, record };
  return { id: `${of} ${day}`, row } as unknown as Held<"visit">;
}

function booking(of: string, day: string, state = "booked") {
  const row = { client: of, state, starts_at: `${day}T10:00:00Z` };
  return { id: `${of} ${day}`, row } as unknown as Held<"booking">;
}

const VISITS = byClient([
  visit("booked", "2026-11-10", 8),
  visit("later", "2026-12-20", 8),
  visit("due", "2026-11-10", 8),
  visit("late", "2026-11-02", 8),
  visit("open", "2026-11-02", 8),
  visit("open", "2026-12-01", null, "ended_early"),
  visit("overdue", "2026-11-01", 8),
  visit("longer overdue", "2026-10-01", 8),
  visit("longer overdue", "2026-12-30", null, "started"),
  visit("away", "2026-01-01", 8),
]);

test("the most pressing first, and nobody who is away", () => {
  const list = dueList({
    clients: [
      client("booked"),
      client("later"),
      client("due"),
      client("late", { facility: "h", room: "4" }),
      client("open"),
      client("overdue"),
      client("longer overdue"),
      client("away", { status: "in_hospital" }),
    ],
    bookings: [
      booking("booked", "2027-01-05"),
      booking("late", "2027-02-05"),
      booking("overdue", "2027-01-06", "cancelled"),
      booking("due", "2027-01-04"),
    ],
    facilities: [{ id: "h", row: { name: "The Limes" } } as unknown as Held<"facility">],
    dueOf: ({ id, row }) => nextDue(VISITS.get(id) ?? [], row, dayOf),
    today: TODAY,
    dayOf,
  });
  expect(list.map(({ client: id, state }) => [id, state])).toEqual([
    ["longer overdue", "overdue"],
    ["overdue", "overdue"],
    ["open", "open"],
    ["late", "booked_late"],
    ["due", "due"],
    ["later", "later"],
    ["booked", "booked"],
  ]);
  expect(list[3]).toMatchObject({ where: "The Limes, 4", booked: "2027-02-05" });
});

test("a coordinator's, by the days that were told and by nothing else", () => {
  const told: Record<string, [string, string]> = {
    overdue: ["2026-12-20", "2027-01-04"],
    due: ["2027-01-05", "2027-01-20"],
    later: ["2027-01-06", "2027-01-21"],
  };
  const list = dueList({
    clients: [client("open"), client("later"), client("due"), client("overdue")],
    bookings: [],
    facilities: [],
    dueOf: ({ id }) => {
      const [due_first, due_last] = told[id] ?? [null, null];
      return dueBy({ client: id, consent_until: null, screen_until: null, due_first, due_last });
    },
    today: TODAY,
    dayOf,
  });
  expect(list.map(({ client: id, state }) => [id, state])).toEqual([
    ["overdue", "overdue"],
    ["open", "open"],
    ["due", "due"],
    ["later", "later"],
  ]);
  expect(list[0]?.due).toEqual({ first: "2026-12-20", last: "2027-01-04" });
});

import fc from "fast-check";
import { describe, expect, it } from "vitest";

import { bookingsOfAbsent } from "../../src/domain/absent";

const NOW = new Date("2026-11-25T12:00:00Z");
const STATUS = ["active", "in_hospital", "moved_away", "died"] as const;
const IDS = ["a", "b", "c", "d"] as const;

const clients = fc.uniqueArray(
  fc.record({
    id: fc.constantFrom(...IDS),
    row: fc.record({ status: fc.constantFrom(...STATUS) }, { requiredKeys: [] }),
  }),
  { selector: ({ id }) => id },
);

const bookings = fc.array(
  fc.record({
    row: fc.record({
      client: fc.constantFrom(...IDS),
      state: fc.constantFrom("booked", "cancelled", "done"),
      starts_at: fc
        .integer({ min: -500, max: 500 })
        .map((hours) => new Date(NOW.getTime() + hours * 3_600_000).toISOString()),
    }),
  }),
);

describe("bookings of a client who is away", () => {
  it("are found, each of them and no other, the next one first", () => {
    fc.assert(
      fc.property(clients, bookings, (cards, all) => {
        const found = bookingsOfAbsent(cards, all, NOW);
        const statusOf = new Map(cards.map(({ id, row }) => [id, row.status]));
        for (const booking of all) {
          const { client, state, starts_at } = booking.row;
          const gone = ["in_hospital", "moved_away", "died"].includes(statusOf.get(client) ?? "");
          const due = state === "booked" && new Date(starts_at) >= NOW;
          expect(found.includes(booking)).toBe(gone && due);
        }
        const times = found.map(({ row }) => row.starts_at);
        expect(times).toEqual([...times].sort());
      }),
    );
  });

  it("change nothing of what they are found in", () => {
    fc.assert(
      fc.property(clients, bookings, (cards, all) => {
        const before = structuredClone(all);
        bookingsOfAbsent(cards, all, NOW);
        expect(all).toEqual(before);
      }),
    );
  });
});

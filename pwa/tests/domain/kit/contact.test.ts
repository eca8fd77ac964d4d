/** Which contact times run, and from when. Our own rule (docs/decisions/0180-what-a-set-has-been-through.md). */
import { describe, expect, it } from "vitest";

import { beganAt, contactsOf, overAt, secondsTo } from "../../../src/domain/kit/contact";
import type { HeldRow } from "../../../src/domain/kit/kit";

type Row = HeldRow<"kit_load">["row"];
const SOAK = {
  asked: { level: "disinfect", minutes: 10, celsius: null, indicator: false, storage_days: 7 },
  sets: ["a", "b"],
  faults: [],
  ends: [],
  started_at: "2026-11-25T12:00:00Z",
  heard_at: null,
  staff: "me",
  device: "mine",
} as unknown as Row;

function running(more: Partial<Row> = {}) {
  return contactsOf([{ id: "load", row: { ...SOAK, ...more } }], "me", "mine");
}

describe("a contact time", () => {
  it("runs from its start, for as long as the label says", () => {
    const contact = { id: "load", began: SOAK.started_at, minutes: 10, sets: 2 };
    expect(running()).toEqual([contact]);
  });

  it("is over at a moment that needs no record to be counted down to", () => {
    const over = overAt({ began: SOAK.started_at, minutes: 10 });
    expect(over).toBe("2026-11-25T12:10:00.000Z");
    expect(secondsTo(over, new Date("2026-11-25T12:09:25.500Z"))).toBe(35);
    expect(secondsTo(over, new Date("2026-11-25T12:10:00Z"))).toBe(0);
    expect(secondsTo(over, new Date("2026-11-25T13:00:00Z"))).toBe(0);
  });

  it("runs no more once it has ended, or where it counts for nothing", () => {
    expect(running({ ends: [{ id: "end" }] as unknown as Row["ends"] })).toEqual([]);
    expect(running({ faults: ["solution_out_of_date"] })).toEqual([]);
    expect(running({ asked: null })).toEqual([]);
  });

  it("is no machine's, and nobody else's", () => {
    expect(running({ asked: { ...SOAK.asked, celsius: 132 } as Row["asked"] })).toEqual([]);
    expect(running({ staff: "another" })).toEqual([]);
  });

  it("counts by the clock that began it, also where the server has a time for that", () => {
    const ahead = { ...SOAK, phone_at: "2026-11-25T13:00:00Z", heard_at: SOAK.started_at };
    expect(beganAt(ahead, "mine")).toBe(ahead.phone_at);
    expect(beganAt(ahead, "another")).toBe(SOAK.started_at);
  });

  it("of another phone counts from when the server heard of it", () => {
    const other = { ...SOAK, device: "theirs", heard_at: "2026-11-25T12:03:00Z" };
    expect(beganAt(other, "mine")).toBe(other.heard_at);
    expect(beganAt({ ...other, heard_at: "2026-11-25T11:59:00Z" }, "mine")).toBe(SOAK.started_at);
    expect(beganAt({ ...other, device: "mine" }, "mine")).toBe(SOAK.started_at);
  });
});

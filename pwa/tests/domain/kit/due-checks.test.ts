/** When a machine is to be checked again. Weekly spore tests: CDC 2008 (published); the day it is due: our own rule. */
import { describe, expect, it } from "vitest";

import { dueChecks, hasFailed } from "../../../src/domain/kit/due-checks";
import type { HeldRow, Machine } from "../../../src/domain/kit/kit";
import type { MachineCheck } from "../../../src/domain/screening/book";

const sourced = { source: "invented", basis: "from_memory" } as const;
const SPORE: MachineCheck = {
  id: "spore_test",
  machines: ["steam_gravity", "steam_vacuum", "dry_heat"],
  every_days: 7,
  reaches_back: true,
  ...sourced,
};
const FOIL: MachineCheck = { ...SPORE, id: "ultrasonic_foil", machines: ["ultrasonic"] };
const machine = { id: "m", card: { machine: "dry_heat" } } as unknown as Machine;

type Record = HeldRow<"machine_check">;
function record(tested_at: string, passed = true, more: Partial<Record["row"]> = {}): Record {
  const row = { machine: "m", kind: "spore_test", tested_at, passed, ...more };
  return { id: tested_at + String(passed), row } as unknown as Record;
}

function due(today: string, ...records: Record[]) {
  const found = dueChecks([SPORE, FOIL], machine, records, today, (at) => at.slice(0, 10));
  return found.map(({ check, state, due_on }) => [check.id, state, due_on]);
}

describe("the checks of a machine", () => {
  it("are those of its kind, and never done until one is on record", () => {
    expect(due("2026-11-25")).toEqual([["spore_test", "never", null]]);
    const others = [
      record("2026-11-25T08:00:00Z", true, { machine: "other" }),
      record("2026-11-25T08:00:00Z", true, { kind: "temperature" }),
    ];
    expect(due("2026-11-25", ...others)).toEqual([["spore_test", "never", null]]);
  });

  it.each([
    ["2026-11-24", "in_time"],
    ["2026-11-25", "due"],
    ["2026-11-26", "overdue"],
  ])("of the 18th, every 7 days, is on %s %s", (today, state) => {
    const found = due(today, record("2026-11-18T22:00:00Z"), record("2026-11-11T08:00:00Z"));
    expect(found).toEqual([["spore_test", state, "2026-11-25"]]);
  });

  it("have failed where the last one did, until a good one comes", () => {
    const failed = record("2026-11-24T08:00:00Z", false);
    expect(due("2026-11-25", record("2026-11-23T08:00:00Z"), failed)[0]).toContain("failed");
    expect(due("2026-11-25", failed, record("2026-11-24T09:00:00Z"))[0]).toContain("in_time");
    expect(due("2026-11-25", record("2026-11-24T08:00:00Z"), failed)[0]).toContain("failed");
  });

  it("that failed are told of, also where the book does not know them", () => {
    const own = { kind: "own_check" };
    const records = [
      record("2026-11-24T08:00:00Z", false, own),
      record("2026-11-24T09:00:00Z"),
      record("2026-11-24T10:00:00Z", false, { machine: "other" }),
    ];
    expect(hasFailed("m", records)).toBe(true);
    expect(hasFailed("m", [...records, record("2026-11-25T08:00:00Z", true, own)])).toBe(false);
  });
});

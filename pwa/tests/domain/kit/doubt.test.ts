/** What a failed check reaches. Calling loads back to the last good one: CDC 2008 (from a secondary source). */
import { describe, expect, it } from "vitest";

import { castIntoDoubt } from "../../../src/domain/kit/doubt";
import type { Kit } from "../../../src/domain/kit/kit";

const at = (clock: string) => `2026-11-25T${clock}:00Z`;
const cycle = (id: string, started: string, sets: string[], machine = "m") => ({
  id,
  row: { machine, started_at: at(started), sets },
});
const use = (
  id: string,
  client: string,
  loads: string[],
  thing = "",
  step: string | null = null,
) => ({
  id,
  row: { client, loads, thing, step },
});
const good = { machine: "m", kind: "spore_test", tested_at: at("09:00"), passed: true };

const STEPS = [
  { id: "c", what: "cycle", after: [], load: "two" },
  { id: "p", what: "pack", after: ["c"], load: null },
  { id: "u", what: "use", after: ["p"], load: null },
];
const kit = {
  sets: [{ id: "fresh", steps: STEPS }],
  cycles: [
    cycle("before", "08:00", ["x"]),
    cycle("one", "10:00", ["a", "b"]),
    cycle("two", "11:00", ["b", "fresh"]),
    cycle("elsewhere", "10:30", ["y"], "other"),
  ],
  rows: {
    machine_check: [{ id: "g", row: { ...good, reaches_back: true } }],
    kit_use: [
      use("1", "ida", ["one"]),
      use("2", "ida", ["two"]),
      use("3", "hal", ["before"]),
      use("4", "una", [], "fresh", "u"),
      use("5", "uwe", [], "gloves"),
    ],
  },
} as unknown as Kit;

const failed = { kind: "spore_test", at: at("12:00"), passed: false, reaches_back: true };

describe("a failed check", () => {
  it("casts doubt on the cycles since the last good one, their sets, and whom these were used on", () => {
    expect(castIntoDoubt(kit, "m", failed)).toEqual({ cycles: 2, sets: 3, clients: 2 });
  });

  it("that does not reach back leaves alone what came before it", () => {
    const mild = { ...failed, reaches_back: false };
    expect(castIntoDoubt(kit, "m", mild)).toEqual({ cycles: 0, sets: 0, clients: 0 });
  });

  it("of another machine has nothing to do with it", () => {
    expect(castIntoDoubt(kit, "other", failed)).toEqual({ cycles: 1, sets: 1, clients: 0 });
  });
});

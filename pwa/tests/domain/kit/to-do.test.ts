/** What of the kit wants doing now. Check: our own rules; a week's visits and what one takes: common practice, no source. */
import { describe, expect, it } from "vitest";

import type { Kit, KitSet } from "../../../src/domain/kit/kit";
import type { State } from "../../../src/domain/kit/standing";
import { toDo } from "../../../src/domain/kit/to-do";
import type { BookJson } from "../../../src/domain/screening";

const TODAY = "2026-11-25";
const sourced = { source: "invented", basis: "from_memory" } as const;
const book = {
  supplies: [
    { id: "gloves", per_visit: 2, ...sourced },
    { id: "mask", per_visit: 1, ...sourced },
  ],
  machine_checks: [
    { id: "spore_test", machines: ["dry_heat"], every_days: 7, reaches_back: true, ...sourced },
  ],
} as unknown as BookJson;

interface Parts {
  sets?: [string, State, string?][];
  lots?: [string, number, string | null][];
  machines?: string[];
  cycles?: string[];
  solutions?: [string, string | null][];
  products?: (string | null)[];
}

function kit({ sets, lots, machines, cycles, solutions, products }: Parts): Kit {
  const none = { kit_thing: [], kit_load: [], machine_check: [], checklist: [], kit_use: [] };
  const made = {
    sets: (sets ?? []).map(([id, state, load = null]) => ({
      id,
      steps: [],
      standing: { state, load, heads: [], reasons: [] },
    })),
    lots: (lots ?? []).map(([supply, left, expires_on]) => ({
      id: `${supply} ${String(left)}`,
      left,
      card: { supply, expires_on },
    })),
    machines: (machines ?? []).map((machine) => ({ id: machine, card: { machine } })),
    products: (products ?? []).map((expires_on) => ({
      id: String(expires_on),
      card: { expires_on },
    })),
    cycles: (cycles ?? []).map((id) => ({ id })),
    rows: {
      ...none,
      kit_solution: (solutions ?? []).map(([keeps_until, thrown_away_at]) => ({
        id: keeps_until,
        row: { keeps_until, thrown_away_at },
      })),
    },
  };
  return made as unknown as Kit;
}

function now(parts: Parts, visits = 0) {
  const moment = { now: new Date(`${TODAY}T12:00:00Z`), today: TODAY, visits };
  return toDo(kit(parts), book, { ...moment, dayOf: (at) => at.slice(0, 10) });
}
const ids = (found: readonly { id: string }[]) => found.map(({ id }) => id);

describe("what wants doing", () => {
  it("has each set once, by how it stands, and none that is well", () => {
    const sets: [string, State][] = [
      ["a", "dirty"],
      ["b", "washing"],
      ["c", "drying"],
      ["d", "unclear"],
      ["e", "clean"],
      ["f", "in_use"],
      ["g", "lost"],
    ];
    const { dirty, washed, drying, unclear } = now({ sets });
    const found: KitSet[] = [...dirty, ...washed, ...drying, ...unclear];
    expect(ids(found)).toEqual(["a", "b", "c", "d"]);
  });

  it("has a cycle for as long as a set is in it", () => {
    const sets: [string, State, string][] = [
      ["a", "processing", "runs"],
      ["b", "processing", "runs"],
      ["c", "dirty", "left"],
    ];
    expect(ids(now({ sets, cycles: ["runs", "left"] }).running)).toEqual(["runs"]);
  });

  it("has the checks of a machine that nobody has made", () => {
    const found = now({ machines: ["dry_heat", "ultrasonic"] }).checks;
    expect(found.map(({ machine, due }) => [machine.id, due.check.id, due.state])).toEqual([
      ["dry_heat", "spore_test", "never"],
    ]);
  });

  it("has what is out of date, from the day after, and is still there", () => {
    const found = now({
      lots: [
        ["gloves", 5, TODAY],
        ["gloves", 7, "2026-11-24"],
        ["mask", 0, "2026-11-24"],
        ["mask", 9, null],
      ],
      products: [TODAY, "2026-11-24", null],
      solutions: [
        ["2026-11-25T11:00:00Z", null],
        ["2026-11-25T11:30:00Z", "2026-11-25T11:40:00Z"],
        ["2026-11-25T13:00:00Z", null],
      ],
    });
    expect(ids(found.lots)).toEqual(["gloves 7"]);
    expect(ids(found.products)).toEqual(["2026-11-24"]);
    expect(ids(found.solutions)).toEqual(["2026-11-25T11:00:00Z"]);
  });

  it("says what does not last for the visits, counting only what is in date and kept at all", () => {
    const lots: [string, number, string | null][] = [
      ["gloves", 5, null],
      ["gloves", -2, null],
      ["gloves", 100, "2026-11-24"],
    ];
    expect(now({ lots }, 2).short).toEqual([]);
    expect(now({ lots }, 3).short).toEqual([{ supply: "gloves", left: 5, wanted: 6 }]);
  });
});

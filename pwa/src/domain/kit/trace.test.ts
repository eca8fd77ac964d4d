/** From a client to the kit and back. Check: our own rules. */
import { describe, expect, it } from "vitest";

import type { HeldRow } from "./kit";
import { cycle, invented, lot, machine, product, set, solution, use } from "./invented-kit";
import type { Step } from "./standing";
import { byVisit, lastFailed, ofClient, setsOfVisit, toClients, traced } from "./trace";

const COMPLETE = { state: "complete", reasons: [] } as const;
const PULLED_BACK = { state: "again", reasons: ["pulled_back"] } as const;
const check = (id: string, tested_at: string, passed = false, of = "m") => ({
  id,
  row: {
    ...{ machine: of, kind: "spore_test", tested_at, read_at: tested_at, passed },
    ...{ reaches_back: true, staff: "me", note: "" },
  },
});
// 4 minutes at 132 degrees: CDC 2008, Table 7.
const WHOLE = {
  asked: { level: "sterilise", minutes: 4, celsius: 132, indicator: true, storage_days: 365 },
  ends: [
    {
      ...{ id: "end", ended_at: "2026-11-22T09:00:00Z", ran_minutes: 20, held_minutes: 4 },
      ...{ celsius: 134, indicator: "passed", interrupted: false },
    },
  ],
} as unknown as Partial<HeldRow<"kit_load">["row"]>;
const dayOf = (at: string) => at.slice(0, 10);

const step = (id: string, what: Step["what"], after: string[], load: string | null = null) =>
  ({ ...{ id, what, after, load }, at: "2026-11-25T08:00:00Z", staff: "me", end: null }) as Step;
const steps = [
  step("wash", "wash", []),
  step("in", "cycle", ["wash"], "bad"),
  step("pack", "pack", ["in"]),
  step("unsent", "use", ["pack"]),
];

const kit = invented(
  {
    sets: [set("s", "in_use", {}, [], steps), set("t", "in_use")],
    lots: [lot("gloves", "gloves", { expires_on: "2026-11-24" })],
    products: [product("bleach", { use_ppm: 5000 })],
    machines: [machine("m"), machine("n")],
    cycles: [
      cycle("good", COMPLETE),
      cycle("bad", PULLED_BACK),
      cycle("elsewhere", COMPLETE, { machine: "n" }),
    ],
  },
  {
    kit_solution: [solution("mix", "bleach", { keeps_until: "2026-11-25T07:00:00Z" })],
    kit_use: [
      use("first", "ada", "s", { loads: ["bad"], used_at: "2026-11-23T08:00:00Z" }),
      use("flagged", "bo", "t", {
        loads: ["good"],
        flags: ["used_twice"],
        used_at: "2026-11-22T08:00:00Z",
      }),
      use("plain", "cy", "t", { loads: ["good"], used_at: "2026-11-24T08:00:00Z" }),
      use("other", "cy", "t", { loads: ["elsewhere"], used_at: "2026-11-21T08:00:00Z" }),
      use("unsent", "dot", "s", { step: "unsent" }),
      use("items", "dot", "gloves", { count: 2 }),
      use("wiped", "dot", "bleach", { solution: "mix" }),
      use("stray", "eve", "not-here", { flags: ["set_unknown"], used_at: "2026-11-20T08:00:00Z" }),
    ],
  },
);
const uses = traced(kit, dayOf);
const against = (id: string) => uses.find((each) => each.id === id)?.against;

describe("a use", () => {
  it("has what was told against it then, and what is known of its cycle now", () => {
    expect(against("first")).toEqual(["pulled_back"]);
    expect(against("flagged")).toEqual(["used_twice"]);
    expect(against("plain")).toEqual([]);
    expect(against("stray")).toEqual(["set_unknown"]);
  });

  it("that was not sent yet has the cycle that its set went through", () => {
    expect(against("unsent")).toEqual(["pulled_back"]);
  });

  it("of a lot or a mix that was over that day says so", () => {
    expect(against("items")).toEqual(["lot_out_of_date"]);
    expect(against("wiped")).toEqual(["solution_out_of_date"]);
  });
});

describe("the trace", () => {
  const ids = (those: typeof uses) => those.map(({ id }) => id);

  it("leads from a client to all that was used", () => {
    expect(ids(ofClient(uses, "dot"))).toEqual(["unsent", "items", "wiped"]);
    const [visit] = byVisit(ofClient(uses, "dot").toReversed());
    expect(visit?.uses.map(({ id }) => id)).toEqual(["unsent", "items", "wiped"]);
    const [set_use] = ofClient(uses, "dot");
    expect(set_use?.cycles.map(({ id }) => id)).toEqual(["bad"]);
  });

  it("leads to every client, those with something against them first, the newest of each first", () => {
    expect(ids(toClients(uses, "set", "t"))).toEqual(["flagged", "plain", "other"]);
    expect(ids(toClients(uses, "cycle", "good"))).toEqual(["flagged", "plain"]);
    expect(ids(toClients(uses, "machine", "m"))).toEqual(["unsent", "first", "flagged", "plain"]);
    expect(ids(toClients(uses, "machine", "n"))).toEqual(["other"]);
    expect(ids(toClients(uses, "lot", "gloves"))).toEqual(["items"]);
  });

  it("is printed for the check that failed last", () => {
    const machine_check = [
      check("older", "2026-11-10T08:00:00Z"),
      check("last", "2026-11-17T08:00:00Z"),
      check("good", "2026-11-24T08:00:00Z", true),
      check("elsewhere", "2026-11-24T08:00:00Z", false, "n"),
    ];
    expect(lastFailed(invented({}, { machine_check }), "m")).toBe("last");
    expect(lastFailed(invented({}), "m")).toBeUndefined();
  });
});

describe("the sets of a visit", () => {
  const thing = (id: string, kind: string) =>
    ({
      id,
      row: { label: id, card: { kind, name: id }, steps },
    }) as unknown as HeldRow<"kit_thing">;
  const load = (id: string, started_at: string) => cycle(id, COMPLETE, { ...WHOLE, started_at });
  const rows = {
    kit_thing: [thing("s", "set"), thing("gloves", "lot")],
    kit_load: [load("bad", "2026-11-20T08:00:00Z"), load("late", "2026-11-22T08:00:00Z")],
    kit_use: [
      use("sent", "dot", "s", {
        step: "x",
        loads: ["late", "bad"],
        used_at: "2026-11-25T09:00:00Z",
      }),
      use("unsent", "dot", "s", { step: "unsent" }),
      use("gone", "dot", "not-here", { step: "y", used_at: "2026-11-25T10:00:00Z" }),
      use("items", "dot", "gloves"),
      use("unknown", "eve", "not-here"),
    ],
    machine_check: [] as HeldRow<"machine_check">[],
  };
  const visit = (id: string, record: object) => ({ id, row: { record } }) as HeldRow<"visit">;
  const report = (...uses: string[]) => ({ kit: { sets: uses.map((each) => ({ use: each })) } });
  const found = (id: string, record: object, of = rows) => setsOfVisit(of, visit(id, record));

  it("are named with the last cycle before, also where the server has not heard of them", () => {
    const sets = found("dot-visit", {});
    expect(sets?.map(({ set, thing: one, cycle_at }) => [set, one?.label, cycle_at])).toEqual([
      ["s", "s", "2026-11-20T08:00:00Z"],
      ["s", "s", "2026-11-22T08:00:00Z"],
      ["not-here", undefined, null],
    ]);
    expect(found("eve-visit", report("unknown"))).toHaveLength(1);
  });

  it("are told as bad where a cycle of theirs failed since, or something spoke against them then", () => {
    const bad = (of: typeof rows) => found("dot-visit", {}, of)?.map((one) => one.bad);
    expect(bad(rows)).toEqual([false, false, false]);
    const machine_check = [check("spores", "2026-11-23T08:00:00Z")];
    expect(bad({ ...rows, machine_check })).toEqual([true, true, false]);
    const [first, ...rest] = rows.kit_use;
    if (first === undefined) throw new Error("no use");
    const flagged = { ...first, row: { ...first.row, flags: ["not_clean"] } };
    expect(bad({ ...rows, kit_use: [flagged, ...rest] })).toEqual([false, true, false]);
  });

  it("are none where its report says so, and not told of where nobody could say", () => {
    expect(found("cy-visit", report())).toEqual([]);
    expect(found("cy-visit", {})).toBeNull();
    expect(
      found("cy-visit", report(), { ...rows, kit_thing: [thing("gloves", "lot")] }),
    ).toBeNull();
  });
});

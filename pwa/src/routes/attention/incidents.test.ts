/** Each incident says what may be done, and leads where it is about. Check: our own rule. */
import { describe, expect, it } from "vitest";

import { en } from "../../words/en";
import { traced } from "../../domain/kit/trace";
import { cycle, invented, machine, set, use } from "../../domain/kit/invented-kit";
import { calledBack, leadsTo, mayDo, pairOf, thingOf, toCall } from "./incidents";

const named = new Map<string, { thing?: string; machine?: string | null; product?: string | null }>(
  [
    ["use", { thing: "set" }],
    ["check", { machine: "steriliser" }],
    ["soak", { machine: null, product: "bleach" }],
  ],
);
const about = (kind: string, client: string | null = "c") => ({
  ...{ code: "x", about: kind, about_id: "a", client },
});

describe("an incident", () => {
  it("says what may be done, of whatever kind", () => {
    for (const key of Object.keys(en).filter((each) => each.startsWith("incident.code.")))
      expect(en).toHaveProperty([mayDo({ code: key.slice("incident.code.".length) })]);
    expect(mayDo({ code: "of_a_later_server" })).toBe("incident.may.look_and_close");
  });

  it("leads to the visit, the outcome, the client or the team, and nowhere it can't", () => {
    expect(leadsTo(about("visit"), named)?.to).toBe("#/visit/a/aftercare");
    expect(leadsTo(about("health_screen"), named)?.to).toBe("#/client/c/outcome");
    expect(leadsTo(about("command"), named)?.to).toBe("#/client/c");
    expect(leadsTo(about("photo"), named)?.to).toBe("#/client/c");
    expect(leadsTo(about("device", null), named)?.to).toBe("#/team");
    expect(leadsTo(about("command", null), named)).toBeNull();
  });

  it("about the kit leads to every client it reached", () => {
    const leads = (kind: string, id: string, of: string | null = null) =>
      leadsTo({ code: "x", about: kind, about_id: id, client: of }, named)?.to;
    expect(leads("kit_load", "load")).toBe("#/kit/trace/cycle/load");
    expect(leads("machine_check", "check")).toBe("#/kit/trace/machine/steriliser");
    expect(leads("kit_use", "use", "c")).toBe("#/kit/trace/set/set");
    expect(leads("kit_use", "not-here", "c")).toBe("#/client/c");
    expect(leads("machine_check", "not-here")).toBeUndefined();
  });

  it("about the kit and no client is named by the thing", () => {
    const things = ["use", "check", "soak", "not-here"].map((id) =>
      thingOf({ about_id: id }, named),
    );
    expect(things).toEqual(["set", "steriliser", "bleach", null]);
  });

  it("that calls back stands once for each cause, the gravest for all", () => {
    const raised = (id: string, code: string, about_id: string) => ({
      id,
      row: { code, about_id },
    });
    const groups = calledBack([
      raised("ann", "used_called_back", "check"),
      raised("clock", "clock_ahead", "check"),
      raised("bad", "cycle_failed", "load"),
      raised("machine", "machine_failed", "check"),
      raised("bob", "used_called_back", "check"),
      raised("mine", "used_called_back", "other"),
    ]);
    const ids = groups.map(({ gravest, others }) => [gravest, ...others].map(({ id }) => id));
    expect(ids).toEqual([["machine", "ann", "bob"], ["bad"], ["mine"]]);
  });

  it("that calls back counts as many clients to call as its list does", () => {
    const COMPLETE = { state: "complete", reasons: [] } as const;
    const AGAIN = { state: "again", reasons: ["pulled_back"] } as const;
    const kit = invented(
      {
        sets: [set("s", "in_use")],
        machines: [machine("m"), machine("n")],
        cycles: [
          cycle("bad", AGAIN),
          cycle("worse", AGAIN),
          cycle("good", COMPLETE),
          cycle("elsewhere", COMPLETE, { machine: "n" }),
        ],
      },
      {
        kit_use: [
          use("1", "ada", "s", { loads: ["bad"] }),
          use("2", "ada", "s", { loads: ["bad"] }),
          use("3", "bo", "s", { loads: ["worse"] }),
          use("4", "cy", "s", { loads: ["good"] }),
          use("5", "dot", "s", { loads: ["elsewhere"] }),
        ],
      },
    );
    const uses = traced(kit, (at) => at.slice(0, 10));
    const causes = new Map<string, { machine?: string | null }>([
      ...["m", "n"].map((id) => [`check of ${id}`, { machine: id }] as const),
      ...kit.cycles.map(({ id, row }) => [id, row] as const),
    ]);
    const calls = (kind: string, id: string) => toCall({ about: kind, about_id: id }, causes, uses);
    expect(calls("machine_check", "check of m")).toBe(2);
    expect(calls("machine_check", "check of n")).toBe(0);
    expect(calls("kit_load", "bad")).toBe(1);
    expect(calls("machine_check", "not-here")).toBeNull();
  });

  it("of one person twice names both cards", () => {
    expect(pairOf({ about_id: "a", reasons: ["b"] })).toEqual(["a", "b"]);
  });
});

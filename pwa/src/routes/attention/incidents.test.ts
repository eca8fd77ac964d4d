/** Each incident says what may be done, and leads where it is about. Check: our own rule. */
import { describe, expect, it } from "vitest";

import { en } from "../../words/en";
import { gravestFirst, leadsTo, mayDo, pairOf, thingOf } from "./incidents";

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

  it("that may mean a call to clients comes before the others, else in order", () => {
    const codes = ["clock_ahead", "used_called_back", "set_unknown", "machine_failed"];
    const sorted = gravestFirst(codes.map((code) => ({ row: { code } })));
    expect(sorted.map(({ row }) => row.code)).toEqual([
      "used_called_back",
      "machine_failed",
      "clock_ahead",
      "set_unknown",
    ]);
  });

  it("of one person twice names both cards", () => {
    expect(pairOf({ about_id: "a", reasons: ["b"] })).toEqual(["a", "b"]);
  });
});

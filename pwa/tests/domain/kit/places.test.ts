/** Where sets lie. Check: our own rule: what is in a box is in the box of whoever took it out. */
import { describe, expect, it } from "vitest";

import type { KitSet } from "../../../src/domain/kit/kit";
import { byPlace } from "../../../src/domain/kit/places";
import type { State } from "../../../src/domain/kit/standing";

function set(id: string, state: State, rest: Partial<KitSet["standing"]> = {}): KitSet {
  const standing = { state, heads: [], reasons: [], until: null, staff: null, load: null, ...rest };
  return {
    id,
    label: "0000-16JD",
    card: { kind: "set", name: id, instruments: [] },
    steps: [],
    standing,
  };
}

function places(...sets: KitSet[]) {
  return byPlace(sets, "me").map(([place, there]) => [place, there.map(({ id }) => id)]);
}

describe("the places of the kit", () => {
  it("tell my clean box from another’s", () => {
    const sets = [set("a", "out", { staff: "me" }), set("b", "out", { staff: "other" })];
    expect(places(...sets)).toEqual([
      ["mine", ["a"]],
      ["theirs", ["b"]],
    ]);
  });

  it("have what is clean for the shortest time first, and no empty place", () => {
    const sets = [
      set("late", "clean", { until: "2026-09-02T08:00:00Z" }),
      set("soon", "clean", { until: "2026-08-02T08:00:00Z" }),
      set("used", "in_use"),
    ];
    expect(places(...sets)).toEqual([
      ["used", ["used"]],
      ["cupboard", ["soon", "late"]],
    ]);
  });
});

/** Where sets lie. Check: our own rule: what is in a box is in the box of whoever took it out. */
import { describe, expect, it } from "vitest";

import type { KitSet } from "../../../src/domain/kit/kit";
import { byPlace } from "../../../src/domain/kit/places";
import type { State, Step } from "../../../src/domain/kit/standing";

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

  it("keep apart what is packed and not clean after all", () => {
    const step = { at: "2026-08-01T08:00:00Z", staff: "me", after: [], load: null, end: null };
    const packed = (id: string, what: Step["what"], reasons: string[], state: State = "dirty") => ({
      ...set(id, state, { heads: [`${id}-last`], reasons }),
      steps: [{ ...step, id: `${id}-last`, what }],
    });
    const sets = [
      packed("in my box", "take_out", ["pulled_back"]),
      packed("on the shelf", "pack", ["indicator_failed", "out_of_date"]),
      packed("stored too long", "pack", ["out_of_date"]),
      packed("soiled", "soil", []),
    ];
    expect(places(...sets)).toEqual([
      ["called_back", ["in my box", "on the shelf"]],
      ["used", ["stored too long", "soiled"]],
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

/** The foot map: every region has a word, and a mark stays inside the drawing. Check: our own rule. */
import { describe, expect, it } from "vitest";

import { FINDING_KINDS } from "../../domain/screening/facts";
import { en } from "../../words/en";
import { letterOf, marksOf } from "./marks";
import { BOX, FEET, place, REGIONS, VIEWS } from "./regions";

const spots = VIEWS.flatMap((view) => REGIONS[view].map(({ id, at }) => ({ view, id, at })));

describe("a region", () => {
  it("has a word, and an id that the server takes", () => {
    for (const { id } of spots) {
      expect(en).toHaveProperty([`region.${id}`]);
      expect(id).toMatch(/^[a-z][a-z0-9_]{0,39}$/);
    }
  });

  it("is drawn once in each view", () => {
    for (const view of VIEWS) {
      const ids = REGIONS[view].map(({ id }) => id);
      expect(new Set(ids).size).toBe(ids.length);
    }
  });

  it("has its mark inside the drawing, and the same spot mirrored on the other foot", () => {
    for (const { view, at } of spots) {
      for (const foot of FEET) {
        const [x, y] = place(at, foot, view);
        expect(x > 0 && x < BOX.width && y > 0 && y < BOX.height).toBe(true);
      }
      expect(place(at, "left", view)[0] + place(at, "right", view)[0]).toBe(BOX.width);
    }
  });

  it("keeps the big toe to the middle of the two feet, as one sits facing the client", () => {
    for (const view of VIEWS) {
      const toe = REGIONS[view].find(({ id }) => id === "toe_1");
      const little = REGIONS[view].find(({ id }) => id === "toe_5");
      if (!toe || !little) throw new Error("a foot without toes");
      expect(place(toe.at, "right", view)[0]).toBeGreaterThan(place(little.at, "right", view)[0]);
      expect(place(toe.at, "left", view)[0]).toBeLessThan(place(little.at, "left", view)[0]);
    }
  });
});

describe("a finding", () => {
  it("has a word for each kind that the rules know", () => {
    for (const kind of FINDING_KINDS) expect(en).toHaveProperty([`finding.what.${kind}`]);
  });

  it("gets a letter of its own, and its mark beside others at the same place", () => {
    const spot = { foot: "left", view: "sole", region: "arch" } as const;
    const [first, second] = marksOf([
      { id: "1", ...spot },
      { id: "2", ...spot },
    ]);
    expect([first?.letter, second?.letter]).toEqual(["A", "B"]);
    expect(first?.at).not.toEqual(second?.at);
    expect([25, 26, 52].map(letterOf)).toEqual(["Z", "A2", "A3"]);
  });
});

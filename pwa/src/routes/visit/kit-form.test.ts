/** The kit of a visit, from the form to the report and back. Check: our own rules. */
import { describe, expect, it } from "vitest";

import { invented, set, use } from "../../domain/kit/invented-kit";
import { blankVisit, report } from "./form";
import { asksForSet, blankKit, isUnasked, kitOf, toDirtyBox, type VisitKit } from "./kit-form";

const AT = "2026-11-25T10:00:00Z";
const given = { use: "u", set: "s", after: ["p"], at: "2026-11-25T09:00:00Z" };
const kit: VisitKit = {
  sets: [given],
  items: [
    { use: "i", lot: "gloves", count: 2 },
    { use: "j", lot: "masks", count: 0 },
  ],
  products: [{ use: "w", product: "bleach", solution: "mix" }],
  no_set: false,
};

describe("the kit of a visit", () => {
  it("is reported with what was used alone", () => {
    const wet = { began: AT, seconds: 600 };
    const said = report({ ...blankVisit(), kit: { ...kit, wet } }, "b", "c", AT).kit;
    expect(said).toEqual({
      sets: [given],
      items: [{ use: "i", lot: "gloves", count: 2, at: AT }],
      products: [{ use: "w", product: "bleach", solution: "mix", at: AT }],
    });
    expect(report(blankVisit(), "b", "c", AT).kit).toEqual({ sets: [], items: [], products: [] });
  });

  it("comes back from a report with the same uses, and from one of before empty", () => {
    const back = kitOf(report({ ...blankVisit(), kit }, "b", "c", AT).kit);
    expect(back).toEqual({ ...kit, items: [{ use: "i", lot: "gloves", count: 2 }] });
    expect(kitOf(undefined)).toEqual(blankKit());
  });

  it("is asked about where no set is named, until it is said that none was used", () => {
    const sets = [set("s", "clean")];
    const none = { kit: blankKit() };
    expect(asksForSet(none, sets)).toBe(true);
    expect(asksForSet(none, [])).toBe(false);
    expect(asksForSet({ ...none, kit: { ...blankKit(), no_set: true } }, sets)).toBe(false);
    expect(asksForSet({ ...none, kit }, sets)).toBe(false);
  });

  it("names a set that the server did not give", () => {
    expect(isUnasked(given, invented({}))).toBe(true);
    expect(isUnasked(given, invented({}, { kit_use: [use("u", "c", "s")] }))).toBe(false);
  });

  it("goes to the dirty box where its use in this visit is the last that is told of it", () => {
    const sets = [
      set("s", "in_use", { heads: ["u"] }),
      set("t", "dirty", { heads: ["soiled"] }),
      set("v", "in_use", { heads: ["elsewhere"] }),
    ];
    const rows = { kit_use: [use("u", "c", "s"), use("elsewhere", "d", "v")] };
    expect(toDirtyBox(invented({ sets }, rows), "c-visit").map(({ id }) => id)).toEqual(["s"]);
  });
});

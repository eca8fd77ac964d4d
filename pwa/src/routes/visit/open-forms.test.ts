/** A bit or a softener that is half written. Check: our own rule. */
import { describe, expect, it } from "vitest";

import { blankVisit, report } from "./form";
import { begun, bitLacks, blankBit, blankSoftener, softenerLacks } from "./open-forms";

const bit = { family: "diamond_large", head_mm: 6, rpm: 9_000, places: ["left_heel"] };
const softener = { product: "Cream", urea_percent: 10, places: ["left_heel"] };

describe("a bit or a softener that is being written down", () => {
  it("says each thing that it lacks", () => {
    expect(bitLacks(blankBit())).toHaveLength(4);
    expect(bitLacks({ ...bit, rpm: null })).toEqual(["bits.missing_speed"]);
    expect(bitLacks({ ...bit, head_mm: 0 })).toEqual(["bits.missing_head"]);
    expect(bitLacks(bit)).toEqual([]);
    expect(softenerLacks(blankSoftener())).toHaveLength(3);
    expect(softenerLacks({ ...softener, places: [] })).toEqual(["visit.missing_where"]);
    expect(softenerLacks({ ...softener, product: " ", urea_percent: 0 })).toEqual([
      "softener.missing_product",
    ]);
    expect(softenerLacks(softener)).toEqual([]);
  });

  it("is begun once there is anything on it", () => {
    expect(begun(blankVisit())).toEqual([]);
    expect(begun({ open_bit: blankBit(), open_softener: blankSoftener() })).toEqual([]);
    for (const one of [{ family: "x" }, { head_mm: 3 }, { rpm: 9_000 }, { places: ["crack"] }])
      expect(begun({ open_bit: { ...blankBit(), ...one }, open_softener: null })).toEqual(["bit"]);
    for (const one of [{ product: "x" }, { urea_percent: 0 }, { places: ["crack"] }]) {
      const open_softener = { ...blankSoftener(), ...one };
      expect(begun({ open_bit: null, open_softener })).toEqual(["softener"]);
    }
    expect(begun({ open_bit: bit, open_softener: softener })).toEqual(["bit", "softener"]);
  });

  it("is no part of the report", () => {
    const form = { ...blankVisit(), open_bit: bit, open_softener: softener };
    const said = report(form, "b", "c", "2026-11-25T10:00:00Z");
    expect(Object.keys(said)).not.toContain("open_bit");
    expect(Object.keys(said)).not.toContain("open_softener");
    expect(said.bits).toEqual([]);
  });
});

/** The same vectors as tests/parity/test_breaches.py. */
import fc from "fast-check";
import { describe, expect, it, test } from "vitest";
import vectors from "../../../tests/parity/breaches.json" with { type: "json" };
import counts from "../../../tests/parity/counts.json" with { type: "json" };
import { breaches, type KnownBit } from "../../src/domain/breaches";
import type { BitUse, SoftenerUse } from "../../src/domain/commands";
import type { MergedLimits } from "../../src/domain/screening";

interface Case {
  name: string;
  limits: Partial<MergedLimits>;
  bits: BitUse[];
  softeners: SoftenerUse[];
  expect: string[];
}
const cases = vectors.cases as unknown as Case[];
const free = vectors.free as unknown as MergedLimits;
const bits: readonly KnownBit[] = vectors.bits;

describe("the limits that a record goes past", () => {
  test.each(cases)("$name", ({ limits, expect: expected, ...used }) => {
    expect(breaches({ ...free, ...limits }, bits, used)).toEqual(expected);
  });

  it("are checked with as many vectors as the server counts", () => {
    expect(new Set(cases.map(({ name }) => name)).size).toBe(counts.breaches);
  });

  it("are never fewer under tighter limits. Check: our own rule", () => {
    const families = bits.map(({ id }) => id);
    const one = fc.record({
      family: fc.constantFrom(...families),
      head_mm: fc.integer({ min: 1, max: 12 }),
      rpm: fc.integer({ min: 0, max: 40_000 }),
      places: fc.subarray(["crack", "between_toes", "left_heel"]),
    });
    fc.assert(
      fc.property(fc.array(one), fc.subarray(families), fc.nat(40_000), (used, allowed, rpm) => {
        const tight = { ...free, bits_allowed: allowed, max_rpm: { [families[0] ?? ""]: rpm } };
        const record = { bits: used, softeners: [] };
        const found = new Set(breaches({ ...tight, no_bit_in_crack: true }, bits, record));
        for (const code of breaches(free, bits, record)) expect(found).toContain(code);
      }),
    );
  });
});

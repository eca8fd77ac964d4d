/** What is ticked, as limits; that they only ever narrow is checked over many. Check: our own rule. */
import fc from "fast-check";
import { expect, it } from "vitest";

import { breaches } from "../../domain/breaches";
import { narrowed } from "../../domain/clearances";
import { merge } from "../../domain/screening";
import { bookOf } from "../../domain/screening/vectors";
import { limitsOf, NOTHING_SAID, saidOf, type SaidLimits } from "./limits-of";

const book = bookOf("base");

it("narrows nothing where nothing was said", () => {
  expect(limitsOf(NOTHING_SAID, book)).toBeNull();
});

it("leaves the foot alone that is not covered", () => {
  const limits = limitsOf({ ...NOTHING_SAID, feet: "left", bits: "smooth" }, book);
  expect(limits?.leave_alone).toEqual(["right_foot"]);
  expect(limits?.bits_allowed).toContain("diamond_large");
  expect(limits?.bits_allowed).not.toContain("carbide_ball");
});

const said: fc.Arbitrary<SaidLimits> = fc.record({
  bits: fc.constantFrom("any", "smooth", "none"),
  top_rpm: fc.option(fc.integer({ min: 1, max: 40_000 })),
  feet: fc.constantFrom("both", "left", "right"),
  softener: fc.constantFrom("allowed", "none"),
  leave_alone: fc.subarray(book.areas),
});
it("comes back onto the form as it was, to be put right", () => {
  fc.assert(
    fc.property(said, (typed) => {
      // Feet are chosen by themselves.
      const leave_alone = typed.leave_alone.filter((area) => !area.endsWith("_foot"));
      const limits = limitsOf({ ...typed, leave_alone }, book);
      expect(limitsOf(saidOf(limits), book)).toEqual(limits);
    }),
  );
});

const used = fc.record({
  family: fc.constantFrom(...book.bits.map(({ id }) => id)),
  head_mm: fc.constantFrom(2, 6),
  rpm: fc.integer({ min: 0, max: 45_000 }),
  places: fc.subarray(["left_heel", "right_toes", "crack", ...book.areas]),
});

it("never takes a breach away, whichever of the book's limits it is added to", () => {
  fc.assert(
    fc.property(fc.subarray(book.limits), fc.array(said), fc.array(used), (of, given, bits) => {
      const limits = merge(of);
      const clearances = given.map((each) => ({ limits: limitsOf(each, book) }));
      const record = { bits, softeners: [] };
      const before = breaches(limits, book.bits, record);
      const after = breaches(narrowed(limits, clearances), book.bits, record);
      expect(after).toEqual(expect.arrayContaining(before));
      expect(after.length).toBeGreaterThanOrEqual(before.length);
    }),
  );
});

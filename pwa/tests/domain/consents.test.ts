import fc from "fast-check";
import { describe, expect, it } from "vitest";

import vectors from "../../../tests/parity/consents.json" with { type: "json" };
import { type Decision, stateOf } from "../../src/domain/consents";

const AT = new Date(vectors.at);
const moment = fc
  .integer({ min: -9, max: 2 })
  .map((hours) => new Date(AT.getTime() + hours * 3_600_000).toISOString());
const decision: fc.Arbitrary<Decision> = fc.record({
  agreed: fc.boolean(),
  at: moment,
  withdrawn_at: fc.constant(null),
});

describe("what a client has agreed to", () => {
  it.each(vectors.cases)("$name", ({ decisions, state }) => {
    expect(stateOf(decisions, AT)).toBe(state);
  });

  it("is never a yes once the last word is a no", () => {
    fc.assert(
      fc.property(fc.array(decision), (before) => {
        const no = { agreed: false, at: AT.toISOString(), withdrawn_at: null };
        expect(stateOf([...before, no], AT)).toBe("refused");
      }),
    );
  });

  it("does not depend on the order in which it arrived", () => {
    fc.assert(
      fc.property(fc.array(decision), (made) => {
        expect(stateOf(made.toReversed(), AT)).toBe(stateOf(made, AT));
      }),
    );
  });
});

/** The walk over the foot map comes to every side once. Check: our own rule. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import { FEET } from "./regions";
import { nextPart, partsOf, unwalked } from "./walk";

describe("the walk over the map", () => {
  it("comes to every part once, wherever it begins and whatever was looked at", () => {
    const feet = fc.subarray([...FEET]);
    fc.assert(
      fc.property(feet, fc.array(fc.nat(3)), fc.nat(3), (there, done, start) => {
        const parts = partsOf(there);
        const begun = parts.filter((_, n) => done.includes(n)).map(({ id }) => id);
        const walked: string[] = [];
        let at = parts[start]?.id ?? "";
        for (let next = nextPart(parts, begun, at); next;) {
          walked.push(next.id);
          at = next.id;
          next = nextPart(parts, [...begun, ...walked], at);
        }
        expect([...begun, ...walked].toSorted()).toEqual(parts.map(({ id }) => id).toSorted());
      }),
    );
  });

  it("leaves out a foot that there is not to look at", () => {
    expect(partsOf(["left"]).map(({ id }) => id)).toEqual(["left_sole", "left_top"]);
    expect(nextPart(partsOf([]), [], "")).toBeNull();
  });

  it("tells a side with marks apart from one that nobody looked at", () => {
    const ids = (parts: { id: string }[]) => parts.map(({ id }) => id);
    const marks = [
      { foot: "left", view: "sole" },
      { foot: "right", view: "top" },
    ] as const;
    const left = unwalked(partsOf(FEET), ["right_top"], marks);
    expect(ids(left.marked)).toEqual(["left_sole"]);
    expect(ids(left.untouched).toSorted()).toEqual(["left_top", "right_sole"]);
  });
});

/** Which records stand together: the vectors of tests/parity, as the server runs them. Check: our own rule. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import { type RecordFact, standTogether, stillKnown } from "../../src/domain/together";
import { read } from "../../src/domain/screening/vectors";

interface Stated {
  name: string;
  screens: RecordFact[];
  expect: string[];
}
const held = read("together.json") as { valid_hours: number; cases: Stated[] };

describe("the vectors that both languages read", () => {
  it.each(held.cases)("$name", ({ screens, expect: expected }) => {
    expect(standTogether(screens, held.valid_hours)).toEqual(expected);
    expect(standTogether(screens.toReversed(), held.valid_hours)).toEqual(expected);
  });

  it("none is skipped", () => {
    expect(read("counts.json")).toMatchObject({ together: held.cases.length });
  });
});

const NOON = Date.parse("2026-11-25T12:00:00Z");
const ago = (hours: number) => new Date(NOON - hours * 3_600_000).toISOString();
const ids = ["a", "b", "c", "d", "e"];
const some = fc.uniqueArray(
  fc.record({
    id: fc.constantFrom(...ids),
    at: fc.integer({ min: 0, max: 20 }).map(ago),
    seen: fc.subarray(ids),
    slip: fc.constantFrom(false, false, true),
  }),
  { selector: ({ id }) => id, maxLength: 5 },
);

describe("whatever is on record", () => {
  it("one more that nobody knew takes none of the others away", () => {
    fc.assert(
      fc.property(some, fc.integer({ min: 0, max: 3 }), (screens, hours) => {
        const more = { id: "z", at: ago(hours), seen: [], slip: false };
        const before = standTogether(screens, 24);
        fc.pre(before.length > 0);
        expect(standTogether([...screens, more], 24)).toEqual(expect.arrayContaining(before));
      }),
    );
  });

  it("a screen that says all that this phone knew stands alone", () => {
    fc.assert(
      fc.property(some, (screens) => {
        const seen = stillKnown(screens, new Date(NOON), 24);
        const last = { id: "z", at: ago(-1), seen, slip: false };
        expect(standTogether([...screens, last], 24)).toEqual(["z"]);
      }),
    );
  });
});

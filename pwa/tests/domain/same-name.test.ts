/** The pairs that the server runs as well. Check: our own rule, no source. */
import { expect, test } from "vitest";

import { sameName } from "../../src/domain/same-name";
import vectors from "../../../tests/parity/same_name.json" with { type: "json" };

const pairs = [
  ...vectors.same.map((pair) => ({ pair, same: true })),
  ...vectors.different.map((pair) => ({ pair, same: false })),
];

test.each(pairs)("$pair", ({ pair: [one = "", other = ""], same }) => {
  expect(sameName(one, other)).toBe(same);
  expect(sameName(other, one)).toBe(same);
});

/** Numbers as people type them. Check: our own rule. */
import { describe, expect, it } from "vitest";

import { readNumber } from "./numbers";

describe("a typed number", () => {
  it("may have a comma, a point, spaces or a sign", () => {
    expect([" 2,5 ", "2.5", "-1", ".5", "3."].map(readNumber)).toEqual([2.5, 2.5, -1, 0.5, 3]);
  });

  it("is none when it is anything else, so that nothing is guessed", () => {
    expect(["", "2 5", "1.2.3", "1e3", "two", "0x1f", "-"].map(readNumber)).toEqual(
      Array(7).fill(null),
    );
  });
});

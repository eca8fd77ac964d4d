/** Check: our own rules. */
import { describe, expect, it } from "vitest";

import { secondsLeft } from "../../src/domain/timed";

const BEGAN = "2026-11-25T15:00:00Z";
const after = (seconds: number) => new Date(Date.parse(BEGAN) + seconds * 1000);

describe("what is done for a while", () => {
  const timed = { began: BEGAN, seconds: 45 };
  it.each([
    [-60, 45],
    [0, 45],
    [44, 1],
    [45, 0],
    [45 + 30 * 60, 0],
    [46 + 30 * 60, null],
  ] as const)("after %i seconds has %s left", (seconds, left) => {
    expect(secondsLeft(timed, after(seconds))).toBe(left);
  });

  it("is nothing before it begins", () => {
    expect(secondsLeft(null, after(0))).toBeNull();
    expect(secondsLeft(undefined, after(0))).toBeNull();
  });
});

import fc from "fast-check";
import { describe, expect, it } from "vitest";

import { dwell } from "../../src/domain/dwell";

// Common practice, no source: a urea softener stays on 2 to 3 minutes.
const BOUNDS = { least_minutes: 2, most_minutes: 3 };
const PLACED = "2026-11-25T15:00:00Z";
const after = (seconds: number) => new Date(Date.parse(PLACED) + seconds * 1000);

describe("a softener", () => {
  it.each([
    [0, "under", 120, 0],
    [119, "under", 1, 0],
    [120, "due", 0, 0],
    [180, "due", 0, 0],
    [181, "overrun", 0, 1],
    [600, "overrun", 0, 420],
  ] as const)("after %i seconds is %s", (seconds, state, seconds_to_due, seconds_over) => {
    expect(dwell(PLACED, null, after(seconds), BOUNDS)).toEqual({
      state,
      running: true,
      elapsed_seconds: seconds,
      seconds_to_due,
      seconds_over,
    });
  });

  it("once taken off stays as it was, however late one looks", () => {
    const removed = after(150).toISOString();
    expect(dwell(PLACED, removed, after(9000), BOUNDS)).toMatchObject({
      state: "due",
      running: false,
      elapsed_seconds: 150,
    });
  });

  it("shows no negative time when the clock was set back", () => {
    expect(dwell(PLACED, null, after(-600), BOUNDS)).toMatchObject({ elapsed_seconds: 0 });
  });

  it("never goes back from overrun while time goes on", () => {
    const order = ["under", "due", "overrun"];
    fc.assert(
      fc.property(fc.nat(10_000), fc.nat(10_000), (one, other) => {
        const state = (seconds: number) =>
          order.indexOf(dwell(PLACED, null, after(seconds), BOUNDS).state);
        expect(state(one + other)).toBeGreaterThanOrEqual(state(one));
      }),
    );
  });
});

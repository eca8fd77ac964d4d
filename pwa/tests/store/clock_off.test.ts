/** How far a clock is off, from one question and its answer. Property: never more than it is. From memory. */
import fc from "fast-check";
import { expect, it } from "vitest";

import { secondsAhead } from "../../src/store/clock_off";
import { isNearlyFull } from "../../src/store/storage_room";

const SERVER = Date.parse("2026-11-25T08:00:00Z");

it("never says more than the clock is off, and at most the time on the way less", () => {
  const seconds = (most: number) => fc.integer({ min: 0, max: most });
  fc.assert(
    fc.property(
      fc.integer({ min: -9e6, max: 9e6 }),
      seconds(60),
      seconds(60),
      (off, there, back) => {
        const asked = new Date(SERVER + (off - there) * 1000);
        const answered = new Date(SERVER + (off + back) * 1000);
        const said = secondsAhead(new Date(SERVER).toISOString(), asked, answered);
        expect(Math.abs(said)).toBeLessThanOrEqual(Math.abs(off));
        expect(Math.abs(off - said)).toBeLessThanOrEqual(there + back);
        expect(said * off).toBeGreaterThanOrEqual(0);
      },
    ),
  );
});

it("finds a room nearly full by what is left, and says nothing where the browser does not", () => {
  expect(isNearlyFull({ quota: 100e6, usage: 81e6 })).toBe(true);
  expect(isNearlyFull({ quota: 100e6, usage: 79e6 })).toBe(false);
  expect(isNearlyFull({})).toBe(false);
});

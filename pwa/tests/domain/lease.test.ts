/** Check: our own rule. The lease only ever gets shorter until the practice is heard from again. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import { type Lease, leaseLeft } from "../../src/domain/lease";

const HEARD = Date.parse("2026-11-25T08:00:00Z");
const DAY = 86_400;

function lease(latest = 0, days = 30): Lease {
  return {
    seconds: days * DAY,
    heard_at: at(0).toISOString(),
    latest_seen: at(latest).toISOString(),
  };
}

function at(seconds: number): Date {
  return new Date(HEARD + seconds * 1000);
}

describe("the lease", () => {
  it("is whole when the practice has just been heard, and over after its days", () => {
    expect(leaseLeft(lease(), at(0))).toBe(30 * DAY);
    expect(leaseLeft(lease(), at(30 * DAY - 1))).toBe(1);
    expect(leaseLeft(lease(), at(30 * DAY))).toBe(0);
    expect(leaseLeft(lease(), at(31 * DAY))).toBe(-DAY);
  });

  it("does not come back when the clock is set back", () => {
    expect(leaseLeft(lease(29 * DAY), at(2 * DAY))).toBe(DAY);
    expect(leaseLeft(lease(31 * DAY), at(-400 * DAY))).toBe(-DAY);
  });

  it("is never longer than the practice gave it, and never grows with what is seen", () => {
    const seconds = fc.integer({ min: -400 * DAY, max: 400 * DAY });
    fc.assert(
      fc.property(seconds, seconds, seconds, (seen, later, now) => {
        const left = leaseLeft(lease(seen), at(now));
        expect(left).toBeLessThanOrEqual(30 * DAY);
        expect(leaseLeft(lease(Math.max(seen, later)), at(now))).toBeLessThanOrEqual(left);
      }),
    );
  });
});

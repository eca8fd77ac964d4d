/** Check: our own rule. The lease only ever gets shorter until the practice is heard from again. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import { type Lease, leaseLeft } from "../../src/domain/lease";

const HEARD = Date.parse("2026-11-25T08:00:00Z");
const DAY = 86_400;

function lease(latest = 0, days = 30): Lease {
  const [heard_at, latest_seen] = [at(0).toISOString(), at(latest).toISOString()];
  return { seconds: days * DAY, heard_at, server_now: heard_at, latest_seen };
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

  it("of a phone whose clock was a year ahead and was set right counts from the server's time", () => {
    const ahead = at(365 * DAY).toISOString();
    const heard = { ...lease(), heard_at: ahead, latest_seen: ahead };
    expect(leaseLeft(heard, at(366 * DAY))).toBe(29 * DAY);
    expect(leaseLeft(heard, at(3 * DAY))).toBe(27 * DAY);
    expect(leaseLeft(heard, at(31 * DAY))).toBe(-DAY);
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

/** Check: our own rule. What has gone of the lease is never given back until the practice is heard from again. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import { type Lease, leaseHeard, leaseLeft, leaseSeen } from "../../src/domain/lease";

const HEARD = Date.parse("2026-11-25T08:00:00Z");
const DAY = 86_400;
const SECONDS = 30 * DAY;

/** Heard at 0 by the server's clock, when the phone's was so many seconds ahead. */
function heard(ahead = 0): Lease {
  const now = at(0).toISOString();
  return leaseHeard({ now, lease_seconds: SECONDS }, at(ahead).toISOString());
}

function at(seconds: number): Date {
  return new Date(HEARD + seconds * 1000);
}

function seen(lease: Lease, ...times: number[]): Lease {
  return times.reduce((before, time) => leaseSeen(before, at(time)), lease);
}

describe("the lease", () => {
  it("is whole when the practice has just been heard, and over after its days", () => {
    expect(leaseLeft(heard(), at(0))).toBe(SECONDS);
    expect(leaseLeft(heard(), at(SECONDS - 1))).toBe(1);
    expect(leaseLeft(heard(), at(SECONDS))).toBe(0);
    expect(leaseLeft(heard(), at(SECONDS + DAY))).toBe(-DAY);
  });

  it("runs on from a clock that is set back, and what went stays gone", () => {
    const back = seen(heard(), 20 * DAY, 2 * DAY);
    expect(leaseLeft(back, at(2 * DAY))).toBe(10 * DAY);
    expect(leaseLeft(back, at(7 * DAY))).toBe(5 * DAY);
    expect(leaseLeft(back, at(12 * DAY))).toBe(0);
  });

  it("is over on a clock from before the practice was heard, and stays so", () => {
    const hiding = seen(heard(), -365 * DAY);
    expect(leaseLeft(hiding, at(-365 * DAY))).toBeLessThanOrEqual(0);
    expect(leaseLeft(hiding, at(DAY))).toBeLessThanOrEqual(0);
    expect(leaseLeft(seen(heard(), -DAY + 60), at(-DAY + 60))).toBe(SECONDS);
  });

  it("runs for its time on a clock that was far behind when the practice was heard", () => {
    const behind = heard(-400 * DAY);
    expect(leaseLeft(behind, at(-399 * DAY))).toBe(29 * DAY);
    expect(leaseLeft(seen(behind, -399 * DAY), at(3 * DAY))).toBeLessThanOrEqual(0);
  });

  it("of a clock that was a year ahead and was set right counts from the server's time", () => {
    const ahead = heard(365 * DAY);
    expect(leaseLeft(ahead, at(366 * DAY))).toBe(29 * DAY);
    expect(leaseLeft(ahead, at(3 * DAY))).toBe(27 * DAY);
    expect(leaseLeft(seen(ahead, 3 * DAY), at(5 * DAY))).toBe(25 * DAY);
    expect(leaseLeft(ahead, at(31 * DAY))).toBe(-DAY);
  });

  it("begins anew with the practice's next answer, whatever the clock has shown", () => {
    expect(leaseLeft(seen(heard(), 400 * DAY), at(2 * DAY))).toBeLessThanOrEqual(0);
    const again = leaseHeard({ now: at(2 * DAY).toISOString(), lease_seconds: SECONDS }, iso(2));
    expect(leaseLeft(again, at(4 * DAY))).toBe(28 * DAY);
  });

  it("counts what ran by a clock that nobody can set", () => {
    expect(leaseLeft(leaseSeen(heard(), at(0), DAY), at(0))).toBe(29 * DAY);
  });
});

const iso = (days: number) => at(days * DAY).toISOString();

/** Open for so many seconds, then the clock is set to this, seconds after the practice was heard. */
const spell = fc.record({
  open: fc.integer({ min: 0, max: 9 * DAY }),
  then: fc.option(fc.integer({ min: -400 * DAY, max: 400 * DAY }), { nil: null }),
});
const spells = fc.array(spell, { maxLength: 40 });

describe("however the clock is set", () => {
  it("what has gone never falls", () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -400 * DAY, max: 400 * DAY })), (times) => {
        let lease = heard();
        for (const time of times) {
          const now = leaseSeen(lease, at(time));
          expect(now.elapsed).toBeGreaterThanOrEqual(lease.elapsed);
          lease = now;
        }
      }),
    );
  });

  it("records are open for no longer than the lease", () => {
    fc.assert(
      fc.property(spells, (all) => {
        let [lease, clock, open] = [heard(), 0, 0];
        for (const { open: seconds, then } of all) {
          if (leaseLeft(lease, at(clock)) <= 0) break;
          open += Math.min(seconds, leaseLeft(lease, at(clock)));
          lease = seen(lease, clock, clock + seconds);
          clock = then ?? clock + seconds;
          lease = seen(lease, clock);
        }
        expect(open).toBeLessThanOrEqual(SECONDS);
      }),
    );
  });

  it("and a page that stays open counts itself, were the clock never to move", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 1, max: DAY }), fc.integer({ min: -DAY, max: DAY }))),
        (steps) => {
          let [lease, ran] = [heard(), 0];
          for (const [seconds, time] of steps) {
            ran += seconds;
            lease = leaseSeen(lease, at(time), ran);
          }
          expect(lease.elapsed).toBeGreaterThanOrEqual(ran);
        },
      ),
    );
  });

  it("a clock that is right, or off by the same all along, gets the whole of it", () => {
    const off = fc.integer({ min: -400 * DAY, max: 400 * DAY });
    const pauses = fc.array(fc.integer({ min: 0, max: 3 * DAY }));
    fc.assert(
      fc.property(off, pauses, (ahead, all) => {
        let [lease, gone] = [heard(ahead), 0];
        for (const pause of all) {
          gone += pause;
          lease = leaseSeen(lease, at(ahead + gone), gone);
          expect(leaseLeft(lease, at(ahead + gone))).toBe(SECONDS - gone);
        }
      }),
    );
  });
});

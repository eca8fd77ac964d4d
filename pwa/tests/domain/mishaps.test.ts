/** What of what went wrong waits, and for whom. Check: our own rule, decision 0156. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import {
  bled,
  followUp,
  isDue,
  ofVisit,
  openMishaps,
  RECENT_DAYS,
  stopping,
  toRemember,
  waitingFor,
} from "../../src/domain/mishaps";

const TODAY = "2026-11-26";
const NOW = new Date("2026-11-26T12:00:00Z");
const DAY_MS = 86_400_000;
const inUtc = (at: string) => at.slice(0, 10);

const day = fc.integer({ min: -9, max: 9 }).map(ahead);
const mishap = fc.record({
  row: fc.record({
    staff: fc.constantFrom("me", "other"),
    happened_at: fc
      .integer({ min: 0, max: 200 })
      .map((days) => new Date(NOW.getTime() - days * DAY_MS).toISOString()),
    follow_up_on: fc.option(day),
    closed_at: fc.option(fc.constant("2026-11-20T10:00:00Z")),
  }),
});
const some = fc.array(mishap, { maxLength: 8 });

function ahead(days: number): string {
  return new Date(NOW.getTime() + days * DAY_MS).toISOString().slice(0, 10);
}

describe("what still waits", () => {
  it("is all that is not closed or is due, each once, with what is due at the top", () => {
    fc.assert(
      fc.property(some, (mishaps) => {
        const open = openMishaps(mishaps, TODAY, inUtc);
        const waits = mishaps.filter(
          (one) => one.row.closed_at === null || isDue(one, TODAY, inUtc),
        );
        expect(new Set(open)).toEqual(new Set(waits));
        const due = open.map((one) => isDue(one, TODAY, inUtc));
        expect(due).toEqual(due.toSorted().toReversed());
      }),
    );
  });

  it("is due on its day and after, and when closed only where the day was still ahead", () => {
    const row = { staff: "me", happened_at: NOW.toISOString(), closed_at: null };
    expect(isDue({ row: { ...row, follow_up_on: TODAY } }, TODAY, inUtc)).toBe(true);
    expect(isDue({ row: { ...row, follow_up_on: ahead(1) } }, TODAY, inUtc)).toBe(false);
    expect(isDue({ row: { ...row, follow_up_on: null } }, TODAY, inUtc)).toBe(false);
    const closed = { ...row, follow_up_on: TODAY, closed_at: NOW.toISOString() };
    expect(isDue({ row: closed }, TODAY, inUtc)).toBe(false);
    const before = { ...closed, closed_at: `${ahead(-1)}T10:00:00Z` };
    expect(isDue({ row: before }, TODAY, inUtc)).toBe(true);
    expect(isDue({ row: { ...before, follow_up_on: ahead(1) } }, TODAY, inUtc)).toBe(false);
  });

  it("goes by the day of the closing in the practice’s zone: an evening in New York, a morning in Auckland", () => {
    const inZone = (timeZone: string) => (at: string) =>
      new Intl.DateTimeFormat("en-CA", { timeZone }).format(new Date(at));
    const closed = (closed_at: string) => ({ row: { closed_at, follow_up_on: TODAY } });
    expect(followUp(closed("2026-11-26T01:00:00Z"), inZone("America/New_York"))).toBe(TODAY);
    expect(followUp(closed("2026-11-25T21:00:00Z"), inZone("Pacific/Auckland"))).toBeNull();
  });

  it("is all of it for an owner, and for a technician never one of others that is not due", () => {
    fc.assert(
      fc.property(some, (mishaps) => {
        const owner = waitingFor(mishaps, { id: "boss", role: "owner" }, TODAY, inUtc);
        expect(owner).toEqual(openMishaps(mishaps, TODAY, inUtc));
        const mine = waitingFor(mishaps, { id: "me", role: "technician" }, TODAY, inUtc);
        expect(mine.every((one) => one.row.staff === "me" || isDue(one, TODAY, inUtc))).toBe(true);
        expect(
          owner.filter((one) => one.row.staff === "me").every((one) => mine.includes(one)),
        ).toBe(true);
      }),
    );
  });
});

describe("what to have in mind at the next visit", () => {
  it("is an open one, however old, before one that is closed; and nothing closed long ago", () => {
    fc.assert(
      fc.property(some, (mishaps) => {
        const named = toRemember(mishaps, NOW);
        const open = mishaps.filter(({ row }) => row.closed_at === null);
        if (open.length > 0) expect(named?.row.closed_at).toBeNull();
        else if (named) {
          const age = NOW.getTime() - Date.parse(named.row.happened_at);
          expect(age).toBeLessThanOrEqual(RECENT_DAYS * DAY_MS);
        }
      }),
    );
  });
});

describe("what went wrong in a visit", () => {
  const told = { visit: "v", kind: "bleeding", visit_stopped: true };
  const before = { row: { visit: "v", kind: "pain" } };
  const other = { row: { ...told, visit: "w" } };

  it("stops it where a person said so, and only that visit", () => {
    expect(stopping(ofVisit([before, other], "v"))).toBeUndefined();
    expect(stopping(ofVisit([before, other, { row: told }], "v"))).toEqual({ row: told });
  });

  it("bled, by what it was or by a stop sign", () => {
    expect(bled([before], ["pain"])).toBe(false);
    expect(bled([before], ["blood"])).toBe(true);
    expect(bled([before, { row: { ...told, kind: "nick" } }], [])).toBe(true);
  });
});

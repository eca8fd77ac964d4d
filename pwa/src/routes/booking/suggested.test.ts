/** When the next visit would be. Check: our own rule; the weeks of a visit before one that went wrong count no more. */
import { describe, expect, it } from "vitest";

import type { ClientFile } from "../client/file";
import { suggested } from "./suggested";

const NOW = new Date("2026-11-26T12:00:00Z");

function visit(day: string, weeks: number | null, state = "completed") {
  const started_at = `${day}T10:00:00Z`;
  return { row: { state, started_at, booking: null, record: { weeks_until_next: weeks } } };
}

function dayAfter(...visits: ReturnType<typeof visit>[]): string {
  const standing = { reasons: [], outcome: "go" };
  const file = { visits, bookings: [], waiting: [], standing } as unknown as ClientFile;
  return suggested(file, null, null, NOW).day;
}

describe("the day that is suggested", () => {
  it("is as many weeks after the last visit as was said", () => {
    expect(dayAfter(visit("2026-11-20", 6))).toBe("2027-01-01");
    expect(dayAfter(visit("2026-11-26", null, "started"), visit("2026-11-20", 6))).toBe(
      "2027-01-01",
    );
  });

  it("is today for the first visit, and none where the last one left it open", () => {
    expect(dayAfter()).toBe("2026-11-26");
    expect(dayAfter(visit("2026-11-25", null, "ended_early"), visit("2026-11-20", 6))).toBe("");
  });
});

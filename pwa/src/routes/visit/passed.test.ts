/** The words about a limit that was passed. The limits are invented; that each has its number is our own rule. */
import { describe, expect, it } from "vitest";

import { bookOf } from "../../domain/screening/vectors";
import type { MergedLimits } from "../../domain/screening";
import { bitPassed, softenerPassed } from "./passed";

const book = bookOf("base");
const limits: MergedLimits = {
  bits_allowed: ["diamond_large"],
  top_speed_m_s: 5,
  max_rpm: { diamond_large: 10_000 },
  no_bit_in_crack: true,
  no_blades: true,
  softener: "allowed",
  softener_max_percent: 12,
  softener_min_minutes: 2,
  softener_max_minutes: 3,
  leave_alone: ["between_toes"],
};

function use(rpm: number, head_mm = 6, ...places: string[]) {
  return { family: "diamond_large", head_mm, rpm, places };
}

function softener(removed_at: string | null, urea_percent = 10) {
  return { product: "", urea_percent, placed_at: "2026-11-25T10:00:00Z", removed_at, places: [] };
}

describe("a bit", () => {
  it("is told the limit it passes, in turns or at the surface", () => {
    expect(bitPassed(book, limits, use(9_000))).toEqual([]);
    expect(bitPassed(book, limits, use(10_001))).toEqual(["10,001 turns a minute, at most 10,000"]);
    // pi times 10 mm times 10,000 a minute, in metres a second.
    expect(bitPassed(book, limits, use(10_000, 10))).toEqual(["5.24 m/s, at most 5"]);
    expect(bitPassed(book, limits, use(9_000, 6, "crack", "between_toes"))).toHaveLength(2);
  });
});

describe("a softener", () => {
  it("that is on is told of its strength, and of its time once it is off", () => {
    expect(softenerPassed(limits, softener(null))).toEqual([]);
    expect(softenerPassed(limits, softener(null, 40))).toEqual(["40 % urea, at most 12 %"]);
    expect(softenerPassed(limits, softener("2026-11-25T10:04:00Z"))[0]).toContain("3 minutes");
    expect(softenerPassed(limits, softener("2026-11-25T09:00:00Z"))).toHaveLength(1);
    expect(softenerPassed({ ...limits, softener: "none" }, softener(null))).toEqual([
      "no softener for this client",
    ]);
  });
});

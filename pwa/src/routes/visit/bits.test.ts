/**
 * What is said about bits. "After any carbide bit the surface is finished with diamond": common practice,
 * no source.
 */
import { describe, expect, it } from "vitest";

import type { BookJson, MergedLimits } from "../../domain/screening";
import { faultsOf, unfinished } from "./bits";

const book = {
  bits: [
    { id: "carbide_ball", cutting: true },
    { id: "diamond_large", cutting: false },
  ],
} as BookJson;
const limits: MergedLimits = {
  bits_allowed: ["diamond_large"],
  top_speed_m_s: null,
  max_rpm: { diamond_large: 10_000 },
  no_bit_in_crack: true,
  no_blades: true,
  softener: "allowed",
  softener_max_percent: 12,
  softener_min_minutes: 2,
  softener_max_minutes: 3,
  leave_alone: ["between_toes"],
};

function use(family: string, rpm: number, ...places: string[]) {
  return { family, head_mm: 6, rpm, places };
}

describe("a bit that was used", () => {
  it("is at fault for each limit it goes past, and for none it keeps", () => {
    expect(faultsOf(use("diamond_large", 10_000, "left_heel"), limits)).toEqual([]);
    expect(faultsOf(use("diamond_large", 10_001, "left_heel"), limits)).toEqual(["too_fast"]);
    expect(faultsOf(use("carbide_ball", 9_000, "crack", "between_toes"), limits)).toEqual([
      "not_allowed",
      "in_crack",
      "to_leave_alone",
    ]);
  });
});

describe("the order of the bits", () => {
  it("leaves a place unfinished until a diamond comes after the carbide, there", () => {
    const carbide = use("carbide_ball", 9_000, "left_heel", "right_heel");
    const diamond = use("diamond_large", 9_000, "left_heel");
    expect(unfinished(book, [diamond, carbide])).toEqual(["left_heel", "right_heel"]);
    expect(unfinished(book, [carbide, diamond])).toEqual(["right_heel"]);
    expect(unfinished(book, [])).toEqual([]);
  });
});

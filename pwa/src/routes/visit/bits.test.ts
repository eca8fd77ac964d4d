/**
 * What is said about bits. "After any carbide bit the surface is finished with diamond": common practice,
 * no source.
 */
import { describe, expect, it } from "vitest";

import type { BookJson } from "../../domain/screening";
import { unfinished } from "./bits";

const book = {
  bits: [
    { id: "carbide_ball", cutting: true },
    { id: "diamond_large", cutting: false },
  ],
} as BookJson;
function use(family: string, rpm: number, ...places: string[]) {
  return { family, head_mm: 6, rpm, places };
}

describe("the order of the bits", () => {
  it("leaves a place unfinished until a diamond comes after the carbide, there", () => {
    const carbide = use("carbide_ball", 9_000, "left_heel", "right_heel");
    const diamond = use("diamond_large", 9_000, "left_heel");
    expect(unfinished(book, [diamond, carbide])).toEqual(["left_heel", "right_heel"]);
    expect(unfinished(book, [carbide, diamond])).toEqual(["right_heel"]);
    expect(unfinished(book, [])).toEqual([]);
  });
});

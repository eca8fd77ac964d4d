/** The limits of a visit in words. The practice's limit is invented; that it names its owner is our own rule. */
import { expect, it } from "vitest";

import { type BookJson, merge } from "../../domain/screening";
import { bookOf } from "../../domain/screening/vectors";
import { limitLines, speedLimit } from "./limit-lines";

const base = bookOf("base");
const slow = { ...merge([]), id: "own_slow", source: "Our trainer", top_speed_m_s: 3 };
const published = { ...slow, id: "slow", source: "An invented standard" };

function withLimits(...added: Omit<BookJson["limits"][number], "basis">[]): BookJson {
  const limits = added.map((limit) => ({ ...limit, basis: "published" as const }));
  return { ...base, limits: [...base.limits, ...limits] };
}

it("says the speed in force, and who has set it", () => {
  const book = withLimits(slow);
  const told = limitLines(book, merge(book.limits)).map(({ text }) => text);
  expect(told).toContain("Surface of the bit: at most 3 m/s. Set by your practice (Our trainer).");
  expect(speedLimit(withLimits(slow, published), merge([slow]))).toBe(
    "Surface of the bit: at most 3 m/s. Published: An invented standard",
  );
});

it("says no speed where none is in force", () => {
  expect(speedLimit(base, merge(base.limits))).toBeNull();
  expect(speedLimit(withLimits(slow), merge([]))).toBeNull();
});

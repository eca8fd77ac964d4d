/** Check: our own rules, and the published length of a part (docs/sync.md). */
import { describe, expect, it } from "vitest";

import { beyond, fitted, isEnough, PART_BYTES, partSpan, partsOf } from "../../src/domain/pictures";

describe("the size of a picture", () => {
  // 4:3 and 3:2 are the shapes of common cameras (common practice, no source).
  it.each([
    [
      { width: 4000, height: 3000 },
      { width: 1600, height: 1200 },
    ],
    [
      { width: 3000, height: 4000 },
      { width: 1200, height: 1600 },
    ],
    [
      { width: 6000, height: 4000 },
      { width: 1600, height: 1067 },
    ],
    [
      { width: 1600, height: 1600 },
      { width: 1600, height: 1600 },
    ],
    [
      { width: 640, height: 480 },
      { width: 640, height: 480 },
    ],
    [
      { width: 20_000, height: 1 },
      { width: 1600, height: 1 },
    ],
  ])("%o becomes %o", (from, to) => {
    expect(fitted(from)).toEqual(to);
  });

  it("never grows, never goes beyond the side, and keeps its shape to a pixel", () => {
    for (let width = 1; width < 9000; width += 431) {
      for (let height = 1; height < 9000; height += 397) {
        const to = fitted({ width, height }, 1600);
        const scale = Math.min(1, 1600 / Math.max(width, height));
        expect(Math.max(to.width, to.height)).toBeLessThanOrEqual(1600);
        expect(Math.abs(to.width - width * scale)).toBeLessThanOrEqual(1);
        expect(Math.abs(to.height - height * scale)).toBeLessThanOrEqual(1);
        expect(Math.min(to.width, to.height)).toBeGreaterThanOrEqual(1);
      }
    }
  });

  it("is tried at a lower quality while it is too large, and taken at the lowest", () => {
    expect(isEnough(500_000, 0.85)).toBe(true);
    expect(isEnough(700_000, 0.85)).toBe(false);
    expect(isEnough(700_000, 0.5)).toBe(true);
  });
});

it.each([1, PART_BYTES - 1, PART_BYTES, PART_BYTES + 1, 10 * PART_BYTES])(
  "the parts of %i bytes follow each other and leave nothing out",
  (bytes) => {
    let at = 0;
    for (let number = 1; number <= partsOf(bytes); number += 1) {
      const [from, to] = partSpan(bytes, number);
      expect(from).toBe(at);
      expect(to - from).toBeGreaterThan(0);
      expect(to - from).toBeLessThanOrEqual(PART_BYTES);
      at = to;
    }
    expect(at).toBe(bytes);
  },
);

it("the oldest copies go, as far as they must", () => {
  const copies = [3, 1, 4, 2].map((kept_at) => ({ id: String(kept_at), bytes: 10, kept_at }));
  expect(beyond(copies, 40)).toEqual([]);
  expect(beyond(copies, 29)).toEqual(["2", "1"]);
  expect(beyond(copies, 0)).toEqual(["4", "3", "2", "1"]);
});

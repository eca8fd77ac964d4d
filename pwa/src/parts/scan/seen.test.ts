/** Which code is taken from what the camera sees. Check: our own rules (decision 0179). */
import { describe, expect, it } from "vitest";

import { GONE_AFTER_MS, onceInSight } from "./once";
import { nearestMiddle } from "./reader";

describe("a code that is in sight", () => {
  it("is told once, also where a look between finds nothing", () => {
    const fresh = onceInSight();
    expect(fresh("A", 1_000)).toBe("A");
    expect(fresh("A", 1_100)).toBeNull();
    expect(fresh(null, 1_200)).toBeNull();
    expect(fresh("A", 1_300)).toBeNull();
    // In sight all the while, however long.
    expect(fresh("A", 1_300 + GONE_AFTER_MS - 1)).toBeNull();
    expect(fresh("A", 1_300 + 2 * GONE_AFTER_MS - 2)).toBeNull();
  });

  it("is told again once it was gone", () => {
    const fresh = onceInSight();
    expect(fresh("A", 1_000)).toBe("A");
    expect(fresh(null, 2_000)).toBeNull();
    expect(fresh("A", 1_000 + GONE_AFTER_MS)).toBe("A");
  });

  it("gives way to another at once", () => {
    const fresh = onceInSight();
    expect(fresh("A", 1_000)).toBe("A");
    expect(fresh("B", 1_100)).toBe("B");
  });
});

describe("of several codes in sight", () => {
  it("the one nearest the middle is meant", () => {
    const found = [
      { text: "left", off: 300 },
      { text: "middle", off: 12 },
      { text: "right", off: 310 },
    ];
    expect(nearestMiddle(found)).toBe("middle");
  });

  it("one that says nothing is passed over", () => {
    expect(nearestMiddle([{ text: "", off: 0 }])).toBeNull();
    expect(
      nearestMiddle([
        { text: "", off: 0 },
        { text: "A", off: 5 },
      ]),
    ).toBe("A");
    expect(nearestMiddle([])).toBeNull();
  });
});

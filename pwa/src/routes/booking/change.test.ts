/** When a half-typed change of a booking is kept, and when the form follows the booking. Our own rule. */
import { describe, expect, it } from "vitest";

import { blankChange, untouched } from "./change";

const WHEN = { day: "2026-12-01", clock: "10:00", minutes: 45, staff: "me" };
const BEGAN = { when: WHEN, seen: 7 };

describe("a change of a booking", () => {
  it("is untouched before anything was typed, and when all was typed back", () => {
    expect(untouched(blankChange())).toBe(true);
    expect(untouched({ when: { ...WHEN }, began: BEGAN, reason: "" })).toBe(true);
  });

  it.each(Object.keys(WHEN))("is kept once %s was changed", (field) => {
    expect(untouched({ when: { ...WHEN, [field]: null }, began: BEGAN, reason: "" })).toBe(false);
  });
});

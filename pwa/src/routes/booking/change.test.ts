/** When a half-typed change of a booking is kept, and when the form follows the booking. Our own rule. */
import { describe, expect, it } from "vitest";

import { blankChange, lackingWhy, mayBeNotSeen, untouched } from "./change";

const WHEN = { day: "2026-12-01", clock: "10:00", minutes: 45, staff: "me" };
const BEGAN = { when: WHEN, seen: 7 };

describe("a change of a booking", () => {
  it("is untouched before anything was typed, and when all was typed back", () => {
    expect(untouched(blankChange())).toBe(true);
    expect(untouched({ ...blankChange(), when: { ...WHEN }, began: BEGAN })).toBe(true);
  });

  it.each(Object.keys(WHEN))("is kept once %s was changed", (field) => {
    const typed = { ...blankChange(), when: { ...WHEN, [field]: null }, began: BEGAN };
    expect(untouched(typed)).toBe(false);
  });
});

describe("why nothing came of a visit", () => {
  it("needs a code, and words only where no code fits", () => {
    expect(lackingWhy({ code: "", words: "Away" })).toEqual(["booking.why"]);
    expect(lackingWhy({ code: "not_in", words: "" })).toEqual([]);
    expect(lackingWhy({ code: "other", words: " " })).toEqual(["booking.reason_words"]);
    expect(lackingWhy({ code: "other", words: "The lift was out" })).toEqual([]);
  });

  it("is asked of a booking that stands, from its day on, before a visit has begun", () => {
    expect(mayBeNotSeen("booked", true, false)).toBe(true);
    expect(mayBeNotSeen("booked", false, false)).toBe(false);
    expect(mayBeNotSeen("booked", true, true)).toBe(false);
    expect(mayBeNotSeen("cancelled", true, false)).toBe(false);
  });
});

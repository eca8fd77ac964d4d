/** A working week in a form and back, and what the form does not let pass. Check: our own rule. */
import { describe, expect, it } from "vitest";

import { blankWeek, faultsOf, weekForm, weekOf, wordsOf } from "./hours-form";

const PAUSE = { minutes: 30, earliest: "12:00", latest: "14:00" };
const DAY = { weekday: 0, starts: "09:00", ends: "17:00" };

describe("a working week", () => {
  it("is the same after it was in a form", () => {
    const week = {
      days: [
        { ...DAY, breaks: [PAUSE] },
        { ...DAY, weekday: 3, breaks: [PAUSE] },
      ],
      skills: ["Nail brace", "Wraps"],
    };
    expect(weekOf(weekForm(week, 7))).toEqual(week);
    expect(weekForm(week, 7).seen).toBe(7);
  });

  it("has no break where none was entered", () => {
    expect(weekOf({ ...blankWeek(), days: [DAY] }).days).toEqual([{ ...DAY, breaks: [] }]);
  });

  it("names hours that end first, and a break that does not fit", () => {
    expect(faultsOf({ ...blankWeek(), days: [DAY], pause: PAUSE })).toEqual([]);
    expect(faultsOf({ ...blankWeek(), days: [{ ...DAY, ends: "09:00" }] })).toEqual([
      "hours.wrong",
    ]);
    expect(faultsOf({ ...blankWeek(), pause: { ...PAUSE, minutes: 121 } })).toEqual([
      "hours.break_wrong",
    ]);
  });

  it("takes words with commas between them", () => {
    expect(wordsOf(" Wraps, ,nails,Wraps ")).toEqual(["Wraps", "nails"]);
  });
});

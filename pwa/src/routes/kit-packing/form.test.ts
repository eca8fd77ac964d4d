/** What a packing list keeps. Check: our own rules. */
import { expect, it } from "vitest";

import { blank, choiceIn, choose, dayOf, tick } from "./form";

const TODAY = "2026-11-30";

it("is for the day that comes next, until another is chosen", () => {
  const form = blank();
  const next = (day: string) => choiceIn(form, TODAY, day);
  expect([TODAY, "2026-12-01", "2026-12-03"].map(next)).toEqual([
    "today",
    "tomorrow",
    "2026-12-03",
  ]);
  choose(form, "2026-12-24", TODAY);
  expect(next(TODAY)).toBe("2026-12-24");
});

it("forgets on the next day what was chosen", () => {
  const form = blank();
  choose(form, "tomorrow", TODAY);
  // On Tuesday the day that is packed for is Tuesday still.
  expect(choiceIn(form, "2026-12-01", "2026-12-01")).toBe("today");
});

it("is of no day that is over or half typed", () => {
  const days = ["today", "tomorrow", "2026-12-24", "2026-11-29", ""].map((it) => dayOf(it, TODAY));
  expect(days).toEqual([TODAY, "2026-12-01", "2026-12-24", null, null]);
});

it("keeps what was ticked for each day until the day is over", () => {
  const form = blank();
  tick(form, "2026-11-29", "mask", true, "2026-11-29");
  tick(form, "2026-12-01", "gloves", true, TODAY);
  tick(form, "2026-12-01", "mask", true, TODAY);
  tick(form, "2026-12-01", "gloves", false, TODAY);
  tick(form, TODAY, "apron", true, TODAY);
  expect(form.ticked).toEqual({ "2026-12-01": ["mask"], [TODAY]: ["apron"] });
});

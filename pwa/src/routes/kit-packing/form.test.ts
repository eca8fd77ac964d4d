/** What a packing list keeps. Check: our own rules. */
import { expect, it } from "vitest";

import { blank, dayOfForm, tick } from "./form";

const TODAY = "2026-11-30";

it("is for tomorrow at first, and never for a day that is over", () => {
  expect(dayOfForm(blank(), TODAY)).toBe("2026-12-01");
  const chosen = (day: string) => dayOfForm({ ...blank(), day }, TODAY);
  expect([chosen("today"), chosen("2026-12-24")]).toEqual([TODAY, "2026-12-24"]);
  expect([chosen("2026-11-29"), chosen("")]).toEqual([null, null]);
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

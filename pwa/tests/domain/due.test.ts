/** The vectors that both languages read; that an emergency is asked after at once is our own rule. */
import { describe, expect, it } from "vitest";

import vectors from "../../../tests/parity/due.json" with { type: "json" };
import { daysBetween, dueOn, isOverdue } from "../../src/domain/due";

describe("an answer is due", () => {
  it.each(vectors)("$within, $name", ({ made_on, within, due_on }) => {
    expect(dueOn(made_on, within)).toBe(due_on);
  });

  it("and overdue on the day after, an emergency at once", () => {
    expect(isOverdue("2026-11-27", "one_working_day", "2026-11-30")).toBe(false);
    expect(isOverdue("2026-11-27", "one_working_day", "2026-12-01")).toBe(true);
    expect(isOverdue("2026-11-27", "now", "2026-11-27")).toBe(true);
  });

  it("counts days over a change of the clock", () => {
    expect(daysBetween("2026-10-24", "2026-10-26")).toBe(2);
  });
});

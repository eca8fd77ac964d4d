/** Which days off are shown, and what a form of them lacks. Check: our own rule. */
import { describe, expect, it } from "vitest";

import type { Held } from "../../store";
import { comingOff, offForm, wrongOff } from "./time-off";

function off(id: string, staff: string | null, first: string, last = first) {
  return { id, row: { staff, first, last, name: "" } } as Held<"time_off">;
}

describe("days off", () => {
  it("are one's own and the practice's, from today on, the first one first", () => {
    const all = [
      off("later", "me", "2026-12-24", "2026-12-27"),
      off("theirs", "other", "2026-12-01"),
      off("today", null, "2026-11-25"),
      off("running", "me", "2026-11-20", "2026-11-26"),
      off("over", "me", "2026-11-20", "2026-11-24"),
    ];
    const shown = comingOff(all, "me", "2026-11-25").map(({ id }) => id);
    expect(shown).toEqual(["running", "today", "later"]);
  });

  it("need a first day, and no last day before it", () => {
    expect(wrongOff(offForm())).toEqual(["time_off.first"]);
    expect(wrongOff({ ...offForm(), first: "2026-12-01" })).toEqual([]);
    expect(wrongOff({ ...offForm(), first: "2026-12-02", last: "2026-12-01" })).toEqual([
      "time_off.last",
    ]);
  });
});

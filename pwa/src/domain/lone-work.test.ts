/** Common practice, no source: how long ahead a renewal is spoken of, and who is said to be missed. */
import { describe, expect, it } from "vitest";
import type { RowOf } from "./rows";
import { missedColleagues, ownWatch, paperStanding, watching } from "./lone-work";

const AT = new Date("2026-03-02T15:00:00Z");

function kept(more: Partial<RowOf<"watch">> = {}, pending = false) {
  const row: RowOf<"watch"> = {
    staff: "me",
    began_at: "2026-03-02T13:00:00Z",
    back_by: "2026-03-02T16:00:00Z",
    ended_at: null,
    reach_at: "",
    tell_name: "Noa",
    tell_email: "noa@next-door.test",
    alarm: "none",
    alarm_at: null,
    ...more,
  };
  return { row, pending };
}

describe("a check-in", () => {
  it.each([
    ["running", {}, false],
    ["soon", { back_by: "2026-03-02T15:10:00Z" }, false],
    ["over", { back_by: "2026-03-02T15:00:00Z" }, false],
    ["told", { back_by: "2026-03-02T14:00:00Z", alarm: "told" }, false],
    ["over", { back_by: "2026-03-02T14:00:00Z", alarm: "failed" }, false],
    ["unsent", {}, true],
    ["unsent", { back_by: "2026-03-02T14:00:00Z" }, true],
    ["back_unsent", { ended_at: "2026-03-02T14:30:00Z" }, true],
    ["ended", { ended_at: "2026-03-02T14:30:00Z" }, false],
  ] as const)("is %s", (stands, more, pending) => {
    expect(watching(kept(more, pending), AT)).toBe(stands);
  });

  it("of somebody is the newest that is not done with", () => {
    const [done, old, now] = [
      kept({ ended_at: "2026-03-02T14:00:00Z", began_at: "2026-03-02T14:30:00Z" }),
      kept({ began_at: "2026-03-02T09:00:00Z" }),
      kept({ began_at: "2026-03-02T13:00:00+00:00" }),
    ];
    expect(ownWatch([done, now, old, kept({ staff: "other" })], "me", AT)).toBe(now);
    expect(ownWatch([done], "me", AT)).toBeNull();
  });

  it("that was missed is told of to the others", () => {
    const late = kept({ back_by: "2026-03-02T14:00:00Z" });
    expect(missedColleagues([late, kept()], "other", AT)).toEqual([late]);
    expect(missedColleagues([late], "me", AT)).toEqual([]);
  });
});

describe("a paper", () => {
  it.each([
    [null, "no_date"],
    ["2026-03-01", "over"],
    ["2026-03-02", "ends_now"],
    ["2026-03-16", "ends_now"],
    ["2026-03-17", "ends_soon"],
    ["2026-05-01", "ends_soon"],
    ["2026-05-02", "holds"],
  ] as const)("that expires on %s %s", (expires, stands) => {
    expect(paperStanding(expires, "2026-03-02")).toBe(stands);
  });
});

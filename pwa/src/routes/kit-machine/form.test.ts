/** A check of a machine as it is typed. Our own rules. */
import { beforeAll, describe, expect, it } from "vitest";

import type { BookJson } from "../../domain/screening";
import { setPlace } from "../../words/format";
import { blankCheck, checkLacks, checkOf, checkWrong, ofNow } from "./form";

const NOW = new Date("2026-11-25T12:00:00Z");
const book = {
  machine_checks: [
    { id: "spore_test", reaches_back: true },
    { id: "temperature", reaches_back: false },
  ],
} as unknown as BookJson;

beforeAll(() => {
  setPlace({ zone: "Europe/London", units: "mm" }, ["en-GB"]);
});

function form(more: Partial<ReturnType<typeof blankCheck>> = {}) {
  return { ...blankCheck(NOW), kind: "spore_test", passed: "failed" as const, ...more };
}
const told = (more = {}) => checkOf(form(more), book, "m", "c");

describe("a check of a machine", () => {
  it("begins with now, and waits for its kind and its result", () => {
    const blank = blankCheck(NOW);
    expect(checkLacks(blank, checkOf(blank, book, "m", "c"))).toEqual([
      "kit_machine.lacks_kind",
      "kit_machine.lacks_result",
    ]);
    expect(checkLacks(form(), told())).toEqual([]);
    expect(checkLacks(form(), told({ tested_clock: "" }))).toEqual(["kit_machine.lacks_when"]);
  });

  it("whose result comes later has two times, another one", () => {
    const tested = { tested_day: "2026-11-23", tested_clock: "09:00" };
    expect(told(tested)).toMatchObject({
      tested_at: "2026-11-23T09:00:00.000Z",
      read_at: "2026-11-25T12:00:00.000Z",
      passed: false,
      shown_reaches_back: true,
    });
    expect(told({ ...tested, kind: "temperature" })).toMatchObject({
      read_at: "2026-11-23T09:00:00.000Z",
      shown_reaches_back: false,
    });
    expect(told({ kind: "own_check" })).toMatchObject({ shown_reaches_back: true });
  });

  it("that was left with no result is of now when it is opened again", () => {
    const later = new Date("2026-11-27T08:30:00Z");
    const left = ofNow(form({ passed: "" }), later);
    expect(left).toEqual({ ...blankCheck(later), kind: "spore_test" });
    expect(ofNow(form(), later)).toEqual(form());
    expect(ofNow(form({ passed: "", note: "Strip 4" }), later).tested_clock).toBe("12:00");
  });

  it("lies neither ahead nor is it read before it is made", () => {
    expect(checkWrong(told(), NOW)).toEqual([]);
    expect(checkWrong(told({ read_clock: "12:01" }), NOW)).toEqual(["kit_machine.ahead"]);
    expect(checkWrong(told({ read_clock: "11:59" }), NOW)).toEqual(["kit_machine.read_before"]);
  });
});

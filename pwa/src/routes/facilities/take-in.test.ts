import { describe, expect, it } from "vitest";
import type { Held } from "../../store";
import type { ResidentsReport } from "../../wire/types";
import { openQuestions, problemTable, ranges, toTakeIn, undecided } from "./take-in";

const match = { line: 3, client: "a", card: { name: "Ana" }, changes: { room: "9" }, away: false };
const REPORT = {
  bad_lines: 2,
  new: [{ line: 2, card: { name: "Bo", born: "1940-01-01" } }],
  changed: [match],
  unsure: [{ ...match, line: 4, client: "c", changes: { born: "1941-03-31" } }],
  missing: ["d", "e"],
  problems: [
    { code: "x", field: "born", text: "Not a date.", remedy: 'Say "1941-03-31".', lines: [7, 9] },
    { code: "y", field: null, text: "Too few.", remedy: "Look.", lines: [8] },
  ],
} as unknown as ResidentsReport;
const CLIENTS = [{ id: "a", version: 12 }] as Held<"client">[];

// Check: our own rule.
describe("taking in residents", () => {
  it("waits until each doubt is settled, and the bad lines are left out by a word", () => {
    const decided = undecided();
    expect(openQuestions(REPORT, decided)).toBe(2);
    decided.unsure[4] = "same";
    decided.without_bad = true;
    expect(openQuestions(REPORT, decided)).toBe(0);
  });

  it("takes in who is new, changes who is there, and leaves whom nobody spoke of", () => {
    const decided = { ...undecided(), unsure: { 4: "new" }, left: { e: "moved_away" } } as const;
    const ids = ["n1", "n2"];
    const made = toTakeIn("f", REPORT, decided, CLIENTS, "2026-11-28", () => ids.shift() ?? "");
    expect(made).toEqual({
      facility: "f",
      new: [
        { client: "n1", name: "Bo", born: "1940-01-01" },
        { client: "n2", name: "Ana" },
      ],
      changed: [
        { client: "a", seen: 12, changes: { room: "9" } },
        { client: "e", seen: 0, changes: { status: "moved_away", status_since: "2026-11-28" } },
      ],
    });
  });

  it("tells the bad lines in their order, as a table and in few words", () => {
    expect(problemTable(REPORT, ["Line"]).split("\r\n")).toEqual([
      '"Line"',
      '"7","born","Not a date.","Say ""1941-03-31""."',
      '"8","","Too few.","Look."',
      '"9","born","Not a date.","Say ""1941-03-31""."',
    ]);
    expect(ranges([2, 3, 4, 7, 9, 10], 2)).toEqual({ said: ["2–4", "7"], more: 2 });
  });
});

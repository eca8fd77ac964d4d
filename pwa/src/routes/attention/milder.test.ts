/** Who is told that somebody else came to a stricter outcome. Check: our own rule. */
import { describe, expect, it } from "vitest";

import type { Held } from "../../store";
import { shownMilder } from "./milder";

const NOW = new Date("2026-11-25T12:00:00Z");

function check(id: string, staff: string, hour: number, outcome: string, more = {}) {
  const checked_at = `2026-11-25T${String(hour).padStart(2, "0")}:00:00Z`;
  const row = { client: "c", staff, checked_at, outcome, seen: [], entered_in_error: false };
  return { id, row: { ...row, ...more } } as unknown as Held<"foot_check">;
}

const strict = check("a", "Ann", 9, "refer_first");
const mild = check("b", "Bea", 10, "go");

function told(who: string, ...held: Held<"foot_check">[]) {
  return shownMilder("foot_check", held, who, NOW, 12).map(({ own, other }) => [own.id, other.id]);
}

describe("of two who looked apart", () => {
  it("the one who was shown the milder outcome is told, whoever looked last", () => {
    expect(told("Bea", strict, mild)).toEqual([["b", "a"]]);
    expect(told("Bea", check("b", "Bea", 8, "go"), strict)).toEqual([["b", "a"]]);
    expect(told("Ann", strict, mild)).toEqual([]);
    expect(told("Cy", strict, mild)).toEqual([]);
  });

  it("nobody is told where both came to the same, or where one is not decided yet", () => {
    expect(told("Bea", check("a", "Ann", 9, "go"), mild)).toEqual([]);
    expect(told("Bea", check("a", "Ann", 9, ""), mild)).toEqual([]);
    expect(told("Bea", strict, check("b", "Bea", 10, ""))).toEqual([]);
  });

  it("nobody is told once somebody has looked again, or one was a slip, or of another client", () => {
    expect(told("Bea", strict, mild, check("z", "Cy", 11, "go", { seen: ["a", "b"] }))).toEqual([]);
    expect(
      told("Bea", check("a", "Ann", 9, "emergency", { entered_in_error: true }), mild),
    ).toEqual([]);
    expect(told("Bea", check("a", "Ann", 9, "emergency", { client: "d" }), mild)).toEqual([]);
  });

  it("nobody is told of their own stricter one", () => {
    expect(told("Bea", check("a", "Bea", 9, "emergency"), mild)).toEqual([]);
  });

  it("nobody is told of what is too old to go by", () => {
    const yesterday = { checked_at: "2026-11-24T23:00:00Z" };
    const earlier = { checked_at: "2026-11-24T22:00:00Z" };
    const both = [
      check("a", "Ann", 0, "go", yesterday),
      check("b", "Bea", 0, "emergency", earlier),
    ];
    expect(told("Ann", ...both)).toEqual([]);
  });
});

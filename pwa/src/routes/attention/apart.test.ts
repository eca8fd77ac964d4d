/** Who the two were that recorded apart. Check: our own rule. */
import { describe, expect, it } from "vitest";

import type { Held } from "../../store";
import { outcomeName } from "../../words/named";
import { recordedBy } from "./apart";

function check(id: string, staff: string, hour: number, seen: string[] = [], more = {}) {
  const checked_at = `2026-11-25T${String(hour).padStart(2, "0")}:00:00Z`;
  const row = { client: "c", staff, checked_at, seen, entered_in_error: false, ...more };
  return { id, row } as unknown as Held<"foot_check">;
}

const older = check("a", "Ann", 9);
const newer = check("b", "Bea", 10);

describe("two who did not know of each other", () => {
  it("are named, the older first, whatever order the rows are in", () => {
    expect(recordedBy([older, newer], "b", 12)).toEqual(["Ann", "Bea"]);
    expect(recordedBy([newer, older], "b", 12)).toEqual(["Ann", "Bea"]);
  });

  it("stay named when somebody has looked again, or one was a slip", () => {
    const again = check("z", "Cy", 11, ["a", "b"]);
    const slip = check("a", "Ann", 9, [], { entered_in_error: true });
    expect(recordedBy([slip, newer, again], "b", 12)).toEqual(["Ann", "Bea"]);
  });

  it("leave out what was known, too old, or of another client", () => {
    const known = check("k", "Kay", 8);
    const knowing = check("b", "Bea", 10, ["k"]);
    const other = check("o", "Oda", 9, [], { client: "d" });
    expect(recordedBy([known, other, older, knowing], "b", 12)).toEqual(["Ann", "Bea"]);
    expect(recordedBy([check("y", "Yan", 1), older, newer], "b", 2)).toEqual(["Ann", "Bea"]);
  });

  it("are not guessed at", () => {
    expect(recordedBy([older], "b", 12)).toEqual([null, null]);
    expect(recordedBy([newer], "b", 12)).toEqual([null, "Bea"]);
    expect(recordedBy([older, newer, check("d", "Dot", 8)], "b", 12)).toEqual([null, "Bea"]);
  });
});

describe("what each came to", () => {
  it("is told by the outcome’s own word, also where the answers could not be read", () => {
    expect(outcomeName("needs_clearance")).toBe("Wait for a clinician");
    expect(outcomeName("")).toBe("Not decided yet");
  });
});

/** The reminder that a set may still be wet. Check: our own rule; 20 to 30 minutes: CDC 2008, Table 7. */
import { describe, expect, it } from "vitest";

import { bookOf } from "../screening/vectors";
import { dryFrom } from "./drying";
import { cycle } from "./invented-kit";

const book = bookOf("base");
const ended = (id: string, process: string | null, ended_at: string) =>
  cycle(
    id,
    { state: "complete", reasons: [] },
    { process: process ?? "", ends: [{ ended_at }] as never },
  );

describe("what came out of a cycle", () => {
  it("may be wet for the least that its process says, from its end", () => {
    const wrapped = ended("l", "vacuum_wrapped_132", "2026-11-25T10:00:00Z");
    expect(dryFrom(book, [wrapped]).toISOString()).toBe("2026-11-25T10:20:00.000Z");
    const soaked = ended("s", null, "2026-11-25T10:00:00Z");
    expect(dryFrom(book, [soaked]).toISOString()).toBe("2026-11-25T10:00:00.000Z");
  });

  it("of several is dry when the last of them is", () => {
    const [early, late] = ["10:00", "10:10"].map((at) =>
      ended(at, "vacuum_wrapped_132", `2026-11-25T${at}:00Z`),
    );
    if (early && late)
      expect(dryFrom(book, [late, early]).toISOString()).toBe("2026-11-25T10:30:00.000Z");
    expect(dryFrom(book, []).getTime()).toBe(0);
  });
});

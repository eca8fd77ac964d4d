import { describe, expect, it } from "vitest";

import { ageOn } from "./age";

describe("an age", () => {
  it("is in whole years, and rises on the birthday", () => {
    expect(ageOn("1970-05-01", "2026-04-30")).toBe(55);
    expect(ageOn("1970-05-01", "2026-05-01")).toBe(56);
    expect(ageOn("1960-02-29", "2026-02-28")).toBe(65);
    expect(ageOn("1960-02-29", "2026-03-01")).toBe(66);
  });
});

import { describe, expect, it } from "vitest";

import vectors from "../../../tests/parity/shown.json" with { type: "json" };
import { canonical, shownSha256 } from "../../src/domain/shown";

describe("what was shown", () => {
  it.each(vectors.cases)("$name", async ({ shown, canonical: form, sha256 }) => {
    expect(canonical(shown)).toBe(form);
    expect(await shownSha256(shown)).toBe(sha256);
  });

  it("differs in each case", () => {
    expect(new Set(vectors.cases.map(({ sha256 }) => sha256)).size).toBe(vectors.cases.length);
  });
});

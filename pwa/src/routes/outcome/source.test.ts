/** The line under a rule. Check: our own rule; the rules are the shipped ones. */
import { expect, it } from "vitest";

import { bookOf } from "../../domain/screening/vectors";
import { sourceWords } from "./source";

it("says what a rule rests on once, for every rule of the book", () => {
  const lines = bookOf("base").rules.map(({ source, basis }) => sourceWords(source, basis));
  expect(lines.length).toBeGreaterThan(30);
  for (const line of lines) expect(line).not.toMatch(/^(\w[\w ]+\w)\W+\1/i);
  expect(sourceWords("Common practice, no source", "common_practice")).toBe(
    "Common practice, no source",
  );
  const within = "Product labels; 2 mm is common practice, no source";
  expect(sourceWords(within, "common_practice")).toBe(within);
  expect(sourceWords("IWGDF 2023", "published")).toBe("Published: IWGDF 2023");
});

/** Check: our own rule. */
import { expect, it } from "vitest";
import { refusedAbout } from "./refused-about";

const refused = [{ args: { round: "r", facility: "f", day: "2026-12-07" } }];

it.each([
  [{ round: "r" }, true],
  [{ round: "other" }, false],
  // No record is named by it.
  [{ day: "2026-12-07" }, false],
  [{}, false],
])("of %o it is known: %s", (params, known) => {
  expect(refusedAbout(refused, params)).toBe(known);
  expect(refusedAbout([], params)).toBe(false);
});

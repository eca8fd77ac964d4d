/** What a coordinator's phone says of a resident on a day. Check: our own rule. */
import { expect, it } from "vitest";

import { notReady } from "./not-ready";

const told = (last_day: string | null, clinician: boolean) => [
  { row: { client: "another", last_day: null, clinician: true } },
  { row: { client: "c", last_day, clinician } },
];

it.each([
  ["already, and a clinician where the client agreed", null, true, "clinician"],
  ["already, and else the practice", null, false, "practice"],
  ["on the day after the last", "2026-11-26", true, "clinician"],
  ["not on the last day", "2026-11-27", true, undefined],
])("says who is waited for: %s", (_, last_day, clinician, said) => {
  expect(notReady(told(last_day, clinician), "c", "2026-11-27")).toBe(said);
});

it("says nothing of whom it was told nothing", () => {
  expect(notReady(told(null, true), "d", "2026-11-27")).toBeUndefined();
});

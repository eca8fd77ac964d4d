/** How long a clinician's word still holds, in words. Counted by hand. */
import { beforeEach, expect, it } from "vitest";

import { setPlace } from "../../words/format";
import { stateLook } from "./look";

beforeEach(() => {
  setPlace({ zone: "Europe/London", units: "mm" }, ["en-GB"]);
});

it.each([
  ["2026-11-26", "Holds for 2 more days, until 28 November 2026"],
  ["2026-11-27", "Holds for 1 more day, until 28 November 2026"],
  ["2026-11-28", "Holds for the last day today, 28 November 2026"],
])("on %s: %s", (day, word) => {
  const clearance = { given_on: "2026-09-01", expires_on: "2026-11-28" };
  expect(stateLook(clearance, "ends_soon", day).word).toBe(word);
});

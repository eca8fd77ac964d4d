/** Which clearances are named as about to end. Fourteen days are our own reading, no source. */
import { expect, it } from "vitest";

import { clearanceState, endingSoon } from "../../src/domain/clearances";

const AT = "2026-11-25T10:00:00Z";
const DAY = "2026-11-25";

function until(expires_on: string, more = {}) {
  return { row: { given_on: "2026-11-01", expires_on, withdrawn_at: null, ...more } };
}

it("names a clearance from fourteen days before its last day to that day", () => {
  const [today, last, early] = [until("2026-11-25"), until("2026-12-09"), until("2026-12-10")];
  expect(endingSoon([today, last, early], AT, DAY)).toEqual([today, last]);
  expect(clearanceState(early.row, AT, DAY)).toBe("holds");
});

it("names none that is over, withdrawn, or not there yet", () => {
  const held = [
    until("2026-11-24"),
    until("2026-12-01", { withdrawn_at: "2026-11-25T09:00:00Z" }),
    until("2026-12-01", { given_on: "2026-11-26" }),
  ];
  expect(held.map(({ row }) => clearanceState(row, AT, DAY))).toEqual([
    "over",
    "withdrawn",
    "later",
  ]);
  expect(endingSoon(held, AT, DAY)).toEqual([]);
  const ends = until("2026-12-01", { withdrawn_at: "2026-11-25T11:00:00Z" });
  expect(endingSoon([ends], AT, DAY)).toEqual([ends]);
});

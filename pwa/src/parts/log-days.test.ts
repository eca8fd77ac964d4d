import { expect, it } from "vitest";
import { lastDays } from "./log-days";

it("counts the last day with the others, over the end of a month and of a year", () => {
  expect(lastDays("2026-03-01", 1)).toEqual({ from: "2026-03-01", to: "2026-03-01" });
  expect(lastDays("2026-03-01", 7)).toEqual({ from: "2026-02-23", to: "2026-03-01" });
  expect(lastDays("2027-01-01", 2).from).toBe("2026-12-31");
});

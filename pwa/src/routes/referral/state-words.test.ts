/**
 * By when, in the letter, on the client's page and in the list of what waits: one day, in one form.
 * Check: a calendar of 2026 (published: ISO 8601 week days); the numbers of days are our own, no source.
 */
import { expect, it, test } from "vitest";

import type { RowOf } from "../../domain/rows";
import { bookOf, ruleCases } from "../../domain/screening/vectors";
import type { Held } from "../../store";
import type { ClientFile } from "../client/file";
import { asItsLetter, letterOf } from "./letter";
import { dueWords, overdue, urgencyWords, wayWords } from "./state-words";

const FRIDAY_EVENING = "2026-11-27T21:30:00Z";
const book = bookOf("base");
const answers = ruleCases().find(({ name }) => name === "hurt_foot fires")?.answers ?? {};
const screen = {
  id: "s",
  row: { client: "c", answers, answered_by: "client", answered_by_name: "" },
} as unknown as Held<"health_screen">;
const file = { screens: [screen], checks: [], age: 50 } as unknown as ClientFile;

function made(within: string): Held<"referral"> {
  const row = { client: "c", screen: "s", made_at: FRIDAY_EVENING, level: "refer_first" };
  return {
    id: "s",
    pending: within === "",
    row: { ...row, within, refer_to: within && "gp", reasons: [], answers: [] },
  } as unknown as Held<"referral">;
}

test.each([
  ["now", "Now"],
  ["same_day", "Today, Friday, November 27, 2026"],
  ["one_working_day", "Within one working day, by Monday, November 30, 2026"],
  ["days", "Within days, by Wednesday, December 2, 2026"],
  ["weeks", "Within weeks, by Friday, December 11, 2026"],
])("says of a Friday evening: %s", (within, words) => {
  expect(urgencyWords({ made_at: FRIDAY_EVENING, within })).toBe(words);
});

it("says before the server has it what the letter says", () => {
  const letter = letterOf(book, made(""), file, [screen], []);
  const { row } = asItsLetter(made(""), book, file, [screen], []);
  expect(urgencyWords(letter)).toContain("by Monday, November 30, 2026");
  expect(wayWords(row).join(" ")).toContain(urgencyWords(letter));
  expect(dueWords(row, "2026-11-27")).toContain("due by Monday, November 30, 2026");
  expect(overdue(row, "2026-11-29")).toBe(false);
  expect(overdue(row, "2026-12-01")).toBe(true);
});

it("leaves what the server has said", () => {
  const said = made("days");
  expect(asItsLetter(said, book, file, [screen], [])).toBe(said);
  const row: RowOf<"referral"> = asItsLetter(made(""), book, null, [screen], []).row;
  expect(row.within).toBe("");
});

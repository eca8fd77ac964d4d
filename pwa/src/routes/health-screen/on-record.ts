/** The answers of a screen that is still current: what is open of it is asked without asking all again. */
import type { Answers } from "../../domain/findings";
import type { BookJson } from "../../domain/screening";
import type { ClientFile } from "../client/file";

const HOUR_MS = 3_600_000;

export function answersOnRecord(file: ClientFile, book: BookJson, now: Date): Answers {
  // Where two people asked and did not know of each other, everything is asked again.
  if (!file.screen || file.screens.length > 1) return {};
  const hours = (now.getTime() - Date.parse(file.screen.row.screened_at)) / HOUR_MS;
  const wantsNew = file.standing.reasons.includes("screen_before_answer");
  return hours <= book.settings.screen_valid_hours && !wantsNew ? file.screen.row.answers : {};
}

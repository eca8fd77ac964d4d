/** What is on record when the asking begins: answers of today, and answers of before that may be confirmed. */
import type { Answers } from "../../domain/findings";
import {
  type BookJson,
  type EarlierScreen,
  type SaidBefore,
  saidBefore,
} from "../../domain/screening";
import type { Held } from "../../store";
import type { ClientFile } from "../client/file";

const HOUR_MS = 3_600_000;

/** Of a screen that is still current, so that what is open of it is asked without asking all again. */
export function answersOnRecord(file: ClientFile, book: BookJson, now: Date): Answers {
  return current(file, book, now)?.row.answers ?? {};
}

export function confirmedOnRecord(file: ClientFile, book: BookJson, now: Date): string[] {
  return current(file, book, now)?.row.confirmed ?? [];
}

/** Null where everything is asked. */
export function saidOnRecord(file: ClientFile, book: BookJson, now: Date): SaidBefore | null {
  const held = current(file, book, now);
  if (held) return carriedOn(held);
  const past = {
    screens: file.all_screens.map(earlier),
    referrals: file.referrals.map(({ row }) => ({
      reasons: row.reasons,
      answered_at: row.answer_recorded_at,
    })),
    apart: file.screens.length > 1,
  };
  return saidBefore(book, past, now);
}

function current(file: ClientFile, book: BookJson, now: Date): Held<"health_screen"> | null {
  // Where two people asked and did not know of each other, everything is asked again.
  if (!file.screen || file.screens.length > 1) return null;
  const hours = (now.getTime() - Date.parse(file.screen.row.screened_at)) / HOUR_MS;
  const wantsNew = file.standing.reasons.includes("screen_before_answer");
  return hours <= book.settings.screen_valid_hours && !wantsNew ? file.screen : null;
}

/** What was confirmed today stays said to be confirmed, when the rest is asked after it. */
function carriedOn({ row }: Held<"health_screen">): SaidBefore | null {
  if (!row.from_screen) return null;
  const kept = row.confirmed ?? [];
  const answers = Object.fromEntries(
    Object.entries(row.answers).filter(([id]) => kept.includes(id)),
  );
  return { from: row.from_screen, answers, asked: {} };
}

function earlier({ id, row }: Held<"health_screen">): EarlierScreen {
  return {
    id,
    at: row.screened_at,
    answers: row.answers,
    asked_rulebook: row.asked_rulebook ?? "",
    from_screen: row.from_screen ?? null,
    confirmed: row.confirmed ?? [],
    slip: row.entered_in_error,
  };
}

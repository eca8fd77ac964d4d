/** Which referrals still wait for a clinician's answer, and which of them to ask after first. */
import type { Day, Instant } from "../wire/types";
import { type Outcome, OUTCOMES } from "./findings";
import { type AnswerFact, isNo } from "./verdicts";

interface Answered {
  answers?: readonly Answer[];
  answered_on: Day | null;
  answer_recorded_at: Instant | null;
  answer: string;
  clinician: string;
  clinician_role: string;
}

interface Referral {
  row: Answered & { level: Outcome; made_at: Instant; entered_in_error: boolean };
}

export interface Answer extends AnswerFact {
  answer: string;
  clinician: string;
  clinician_role: string;
}

/** The first first. A row that came before there were verdicts tells of one answer, which lets the client go. */
export function answersOf(row: Answered): readonly Answer[] {
  if (row.answers) return row.answers;
  if (row.answer_recorded_at === null) return [];
  const { answered_on, answer_recorded_at: recorded_at, clinician, clinician_role, answer } = row;
  const said = { clinician, clinician_role, answer, verdict: "may" };
  return [{ ...said, recorded_at, answered_on: answered_on ?? recorded_at.slice(0, 10) }];
}

/** Whether a referral counts: one that was made by a slip does only where a clinician has said no to it. */
export function speaks(row: Referral["row"], slip = row.entered_in_error): boolean {
  return !slip || answersOf(row).some(isNo);
}

/** The most urgent first; of equal ones the oldest. */
export function waitingReferrals<R extends Referral>(referrals: readonly R[]): R[] {
  return referrals
    .filter(({ row }) => row.answer_recorded_at === null && speaks(row))
    .sort(
      (one, other) =>
        OUTCOMES.indexOf(other.row.level) - OUTCOMES.indexOf(one.row.level) ||
        Date.parse(one.row.made_at) - Date.parse(other.row.made_at),
    );
}

/** Which referrals still wait for a clinician's answer, and which of them to ask after first. */
import type { Instant } from "../wire/types";
import { type Outcome, OUTCOMES } from "./findings";

interface Referral {
  row: {
    level: Outcome;
    made_at: Instant;
    answer_recorded_at: Instant | null;
    entered_in_error: boolean;
  };
}

/** The most urgent first; of equal ones the oldest. */
export function waitingReferrals<R extends Referral>(referrals: readonly R[]): R[] {
  return referrals
    .filter(({ row }) => row.answer_recorded_at === null && !row.entered_in_error)
    .sort(
      (one, other) =>
        OUTCOMES.indexOf(other.row.level) - OUTCOMES.indexOf(one.row.level) ||
        Date.parse(one.row.made_at) - Date.parse(other.row.made_at),
    );
}

/** What clinicians' answers to a referral come to. `intake/verdicts.py` decides alike. */
import type { Day, Instant } from "../wire/types";

/** What lets the work go on, once the client is asked anew. Anything else is a no. */
const FREEING: readonly string[] = ["may", "may_with_conditions"];

export interface AnswerFact {
  answered_on: Day;
  recorded_at: Instant;
  verdict: string;
}

/**
 * When a referral let the client go: the first yes on record that was both said no earlier and written down
 * later than every no. Null while there is none.
 */
export function releasedAt(answers: readonly AnswerFact[]): Instant | null {
  const noes = answers.filter(isNo);
  const yeses = answers
    .filter((yes) => !isNo(yes) && noes.every((no) => takesBack(yes, no)))
    .map(({ recorded_at }) => recorded_at);
  return yeses.toSorted((one, other) => Date.parse(one) - Date.parse(other))[0] ?? null;
}

function takesBack(yes: AnswerFact, no: AnswerFact): boolean {
  return (
    Date.parse(yes.recorded_at) > Date.parse(no.recorded_at) && yes.answered_on >= no.answered_on
  );
}

export function isNo({ verdict }: Pick<AnswerFact, "verdict">): boolean {
  return !FREEING.includes(verdict);
}

/** A clinician's no stands. */
export function refused(answers: readonly AnswerFact[]): boolean {
  return releasedAt(answers) === null && answers.some(isNo);
}

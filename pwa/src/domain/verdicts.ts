/** What clinicians' answers to a referral come to. `intake/verdicts.py` decides alike. */
import type { Day, Instant } from "../wire/types";

/** What lets the work go on, once the client is asked anew. Anything else is a no. */
const FREEING: readonly string[] = ["may", "may_with_conditions"];

export interface AnswerFact {
  answered_on: Day;
  recorded_at: Instant;
  verdict: string;
  /** When it was written down, where it counts from later. */
  written_at?: Instant | null;
}

/** When a referral let the client go, or null while it does not. */
export function releasedAt(answers: readonly AnswerFact[]): Instant | null {
  return releasedBy(answers)?.recorded_at ?? null;
}

/** The first yes on record that was both said no earlier and came on record later than every no. */
export function releasedBy(answers: readonly AnswerFact[]): AnswerFact | null {
  const noes = answers.filter(isNo);
  const yeses = answers.filter((yes) => !isNo(yes) && noes.every((no) => takesBack(yes, no)));
  const byRecord = (one: AnswerFact, other: AnswerFact) =>
    Date.parse(one.recorded_at) - Date.parse(other.recorded_at);
  return yeses.toSorted(byRecord)[0] ?? null;
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

/** The form for an answer to a letter: what it still waits for. */
import { sameName } from "../../domain/same-name";
import { isNo } from "../../domain/verdicts";
import { outOfRange } from "../../parts/day-range";
import type { Day } from "../../wire/types";
import type { MessageKey } from "../../words";

export interface AnswerForm {
  clinician: string;
  clinician_role: string;
  answered_on: Day;
  answer: string;
  verdict: string;
}

/**
 * What the forms for a clinician's word are read with: `me` is whoever writes it down, `letter` the day on which the
 * letter that it answers was made, null where there is none or it is not known.
 */
export interface Around {
  me: string;
  today: Day;
  letter: Day | null;
}

/** A no is taken from whoever says it. */
export function ownWord({ verdict, clinician }: AnswerForm, { me }: Pick<Around, "me">): boolean {
  return !isNo({ verdict }) && sameName(clinician, me);
}

/** A no holds whenever it was said. */
export function beforeLetter(
  { verdict, answered_on }: AnswerForm,
  { letter }: Pick<Around, "letter">,
): boolean {
  return (
    letter !== null && !isNo({ verdict }) && outOfRange(answered_on, letter, undefined) !== null
  );
}

/** The keys of what must be put right or filled in before it is saved. */
export function answerLacks(said: AnswerForm, around: Around): MessageKey[] {
  const ahead = outOfRange(said.answered_on, undefined, around.today) !== null;
  const wrongDay = ahead || beforeLetter(said, around);
  const fields = [
    ["referral.missing_verdict", said.verdict],
    ["clinician.name", ownWord(said, around) ? "" : said.clinician],
    ["clinician.role", said.clinician_role],
    ["referral.answered_on", wrongDay ? "" : said.answered_on],
    ["referral.answer", said.answer],
  ] as const;
  return fields.filter(([, typed]) => typed.trim() === "").map(([key]) => key);
}

/** The form for an answer to a letter: what it still waits for. */
import { sameName } from "../../domain/same-name";
import { isNo } from "../../domain/verdicts";
import { outOfRange } from "../../parts/day-range";
import { type Lacks, lacksOf } from "../../parts/lacks";
import type { Day } from "../../wire/types";

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

export function answerLacks(said: AnswerForm, around: Around): Lacks {
  const ahead = outOfRange(said.answered_on, undefined, around.today) !== null;
  return lacksOf([
    ["referral.missing_verdict", said.verdict, false],
    ["clinician.name", said.clinician, ownWord(said, around)],
    ["clinician.role", said.clinician_role, false],
    ["referral.answered_on", said.answered_on, ahead || beforeLetter(said, around)],
    ["referral.answer", said.answer, false],
  ]);
}

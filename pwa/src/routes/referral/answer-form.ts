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

/** The keys of what must be filled in, and of what is filled in and must be put right, before it is saved. */
export interface Lacks {
  missing: MessageKey[];
  wrong: MessageKey[];
}

/** Each field with its name, what is typed in it, and whether that is not right. */
export function lacksOf(fields: readonly (readonly [MessageKey, string, boolean])[]): Lacks {
  const names = (which: (typed: string, wrong: boolean) => boolean) =>
    fields.filter(([, typed, wrong]) => which(typed.trim(), wrong)).map(([key]) => key);
  return {
    missing: names((typed) => typed === ""),
    wrong: names((typed, wrong) => typed !== "" && wrong),
  };
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

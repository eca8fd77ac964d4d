/** What nobody knew where a rule counts that as the risk: so that it is not told as a fact. */
import type { Answer, Answers } from "../../domain/findings";
import { type BookJson, DONT_KNOW, type Question, TOUCH_SITES } from "../../domain/screening";
import { bookWord } from "../../words/book";
import { spokenBy } from "../referral/told";

/** The facts that are true as well where these could not be found out. */
const COUNTED_BY: Readonly<Record<string, string>> = {
  touch_test: "touch_untested",
  pulse_left: "pulse_missing",
  pulse_right: "pulse_missing",
};

/** The questions behind a rule that some record answers with a "don't know". */
export function notKnown(book: BookJson, rule: string, records: readonly Answers[]): string[] {
  const spoken = spokenBy(book, new Set([rule]));
  return book.groups
    .flatMap(({ questions }) => questions)
    .filter(({ id }) => counts(spoken, COUNTED_BY[id] ?? `unsure_${id}`))
    .filter((question) => records.some((answers) => unknown(question, answers[question.id])))
    .map(({ id }) => bookWord(book, `question.${id}`));
}

function counts(spoken: string, name: string): boolean {
  return new RegExp(`(?<!!\\(?)\\b${name}\\b`).test(spoken);
}

function unknown({ kind }: Question, answer: Answer | undefined): boolean {
  if (kind === "touch_sites" && Array.isArray(answer)) return answer.length < TOUCH_SITES.length;
  return answer === DONT_KNOW;
}

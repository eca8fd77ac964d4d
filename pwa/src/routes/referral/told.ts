/** What a clinician should know of the answers, in words. The letter of the server (`letter.py`) tells alike. */
import type { Answer, Answers } from "../../domain/findings";
import { type BookJson, DONT_KNOW, type Question, TOUCH_SITES } from "../../domain/screening";
import { answerWords } from "../../parts/questions/answer-words";
import { t } from "../../words";
import { bookWord } from "../../words/book";

/** [question, answer] of one part that the rules speak of and that are not a plain "no". */
export function told(
  book: BookJson,
  part: "health" | "foot",
  answers: Answers,
  reasons: readonly { id: string }[],
): [string, string][] {
  const ids = new Set(reasons.map(({ id }) => id));
  const spoken = book.rules
    .filter(({ id }) => ids.has(id))
    .map(({ when }) => when)
    .join(" ");
  return book.groups
    .filter((group) => group.part === part)
    .flatMap(({ questions }) => questions)
    .flatMap((question) => {
      const answer = answers[question.id];
      if (answer === undefined || !tells(question, answer, spoken)) return [];
      return [[bookWord(book, `question.${question.id}`), words(book, question, answer)]];
    });
}

function tells({ kind, id, choices }: Question, answer: Answer, spoken: string): boolean {
  if (kind === "touch_sites") return true;
  if (answer === false) return new RegExp(`!\\s*${id}\\b`).test(spoken);
  if (!new RegExp(`\\b(unsure_)?${id}\\b`).test(spoken)) return false;
  if (choices.length === 0 || answer === DONT_KNOW) return true;
  const chosen = Array.isArray(answer) ? answer : [answer];
  return chosen.some((each) => spoken.includes(`'${String(each)}'`));
}

function words(book: BookJson, question: Question, answer: Answer): string {
  if (answer === DONT_KNOW) return t("letter.not_known");
  if (question.kind === "touch_sites" && Array.isArray(answer)) return touchWords(answer);
  return answerWords(book, question, answer);
}

function touchWords(sites: readonly string[]): string {
  const count = (state: string) => sites.filter((site) => site.endsWith(`:${state}`)).length;
  const tried = sites.length - count("no_toe");
  const felt = t("letter.touch", { felt: count("felt"), tried });
  const left = TOUCH_SITES.length - tried;
  return left === 0 ? felt : felt + t("letter.touch_left", { left, all: TOUCH_SITES.length });
}

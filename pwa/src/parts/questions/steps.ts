/** Which groups of the book are put to a person now, and what of them still waits for an answer. */
import type { Answer, Answers, Finding } from "../../domain/findings";
import { judge, validate, type BookJson } from "../../domain/screening";

export type Part = "health" | "foot";
export type Question = BookJson["groups"][number]["questions"][number];
export interface Step {
  id: string;
  asked_by: BookJson["groups"][number]["asked_by"];
  must: boolean;
  questions: readonly Question[];
}

/** `shown` is the judge's list of the questions that apply. */
export function stepsOf(book: BookJson, part: Part, shown: readonly string[]): Step[] {
  return book.groups
    .filter((group) => group.part === part)
    .map(({ id, asked_by, must, questions }) => ({
      id,
      asked_by,
      must,
      questions: questions.filter((question) => shown.includes(question.id)),
    }))
    .filter((step) => step.questions.length > 0);
}

/** What is for the technician to judge is not put to a client who holds the phone. */
export function forTheClient(steps: readonly Step[]): Step[] {
  return steps.filter((step) => step.asked_by !== "technician");
}

export function waiting(step: Step, answers: Answers): readonly Question[] {
  return step.questions.filter((question) => answers[question.id] === undefined);
}

/** A part's own answers that this book can read. One kept since an older book may hold others. */
export function readable(book: BookJson, part: Part, answers: Answers): Answers {
  const unread = new Set(validate(book, answers, [], null).map(({ field }) => field));
  const ours = new Set(
    book.groups
      .flatMap((group) => (group.part === part ? group.questions : []))
      .map(({ id }) => id),
  );
  return Object.fromEntries(
    Object.entries(answers).filter(([id]) => ours.has(id) && !unread.has(`answers.${id}`)),
  );
}

/** The findings that this app can read. One that a newer app saw first may be of another kind. */
export function readableFindings(book: BookJson, findings: readonly Finding[]): Finding[] {
  return findings.filter((finding) => validate(book, {}, [finding], null).length === 0);
}

/** Answers to questions that no longer apply are left out, until none such is left. */
export function answersThatApply(
  book: BookJson,
  part: Part,
  answers: Answers,
  others: Answers,
  age: number,
): Answers {
  const { shown } = judge(book, { ...others, ...answers }, [], age);
  const ours = new Set(
    stepsOf(book, part, shown).flatMap((step) => step.questions.map(({ id }) => id)),
  );
  const kept = Object.fromEntries(Object.entries(answers).filter(([id]) => ours.has(id)));
  if (Object.keys(kept).length === Object.keys(answers).length) return kept;
  return answersThatApply(book, part, kept, others, age);
}

/** One answer more, another, or one less. */
export function withAnswer(
  answers: Answers,
  question: string,
  answer: Answer | undefined,
): Answers {
  const others = Object.fromEntries(Object.entries(answers).filter(([id]) => id !== question));
  return answer === undefined ? others : { ...others, [question]: answer };
}

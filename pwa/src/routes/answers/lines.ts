/** One screen as it is read afterwards: each answer, and how it came about. */
import type { Answer } from "../../domain/findings";
import type { RowOf } from "../../domain/rows";
import type { BookJson, Question } from "../../domain/screening";

type Screen = Pick<RowOf<"health_screen">, "answers"> &
  Partial<Pick<RowOf<"health_screen">, "confirmed">>;

export interface AnswerLine {
  question: Question;
  answer: Answer;
  /** Said to be still so, said otherwise than before, or asked. */
  how: "confirmed" | "changed" | "asked";
  before: Answer | undefined;
}

export interface AnswerGroup {
  id: string;
  lines: AnswerLine[];
}

/** `earlier` is the screen whose answers were shown for confirming, where the phone has it. */
export function answerGroups(
  book: BookJson,
  screen: Screen,
  earlier: Screen | undefined,
): AnswerGroup[] {
  return book.groups
    .filter(({ part }) => part === "health")
    .map(({ id, questions }) => ({
      id,
      lines: questions.flatMap((question) => lineOf(question, screen, earlier)),
    }))
    .filter(({ lines }) => lines.length > 0);
}

/** Answers to questions that today's book does not have: kept, and told by number. */
export function unknownAnswers(book: BookJson, { answers }: Screen): number {
  const known = new Set(book.groups.flatMap(({ questions }) => questions.map(({ id }) => id)));
  return Object.keys(answers).filter((id) => !known.has(id)).length;
}

function lineOf(question: Question, screen: Screen, earlier: Screen | undefined): AnswerLine[] {
  const answer = screen.answers[question.id];
  if (answer === undefined) return [];
  const before = earlier?.answers[question.id];
  const line = { question, answer, before };
  if (screen.confirmed?.includes(question.id)) return [{ ...line, how: "confirmed" }];
  const changed = before !== undefined && JSON.stringify(before) !== JSON.stringify(answer);
  return [{ ...line, how: changed ? "changed" : "asked" }];
}

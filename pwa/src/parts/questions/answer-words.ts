/** An answer in words, as its question offered it. */
import type { Answer } from "../../domain/findings";
import type { BookJson } from "../../domain/screening";
import { t } from "../../words";
import { bookWord } from "../../words/book";
import { list, number } from "../../words/format";
import { unitWord } from "../../words/named";
import { DONT_KNOW } from "./dont-know";
import type { Question } from "./steps";

export function answerWords(book: BookJson, question: Question, answer: Answer): string {
  if (answer === DONT_KNOW) return t("answer.dont_know");
  if (typeof answer === "boolean") return t(answer ? "answer.yes" : "answer.no");
  if (typeof answer === "number") {
    return question.unit
      ? t("answer.measured", { n: number(answer), unit: unitWord(question.unit) })
      : number(answer);
  }
  const choice = (id: string) => bookWord(book, `choice.${question.id}.${id}`);
  if (typeof answer === "string") return question.kind === "choice" ? choice(answer) : answer;
  return answer.length === 0 ? t("answer.none_of_these") : list(answer.map(choice));
}

/** What a clinician should know of the answers, in words. The letter of the server (`letter.py`) tells alike. */
import type { Answer, Answers } from "../../domain/findings";
import { type BookJson, DONT_KNOW, type Question, TOUCH_SITES } from "../../domain/screening";
import { answerWords } from "../../parts/questions/answer-words";
import { t } from "../../words";
import { bookWord } from "../../words/book";
import { regionWord } from "../../words/named";

/** [question, answer] of one part that the rules speak of and that are not a plain "no". */
export function told(
  book: BookJson,
  part: "health" | "foot",
  answers: Answers,
  fired: readonly { id: string }[],
): [string, string][] {
  return telling(book, part, answers, fired).map(([question, answer]) => [
    bookWord(book, `question.${question.id}`),
    withSide(words(book, question, answer), sideOf(book, question, answers)),
  ]);
}

export function telling(
  book: BookJson,
  part: "health" | "foot",
  answers: Answers,
  fired: readonly { id: string }[],
): [Question, Answer][] {
  const spoken = spokenBy(book, new Set(fired.map(({ id }) => id)));
  return book.groups
    .filter((group) => group.part === part)
    .flatMap(({ questions }) => questions)
    .flatMap((question) => {
      const answer = answers[question.id];
      return answer === undefined || !tells(question, answer, spoken) ? [] : [[question, answer]];
    });
}

/** What these rules speak of: their terms, and those of the conditions and facts they name. */
export function spokenBy(book: BookJson, rules: ReadonlySet<string>): string {
  const terms = new Map([
    ...book.conditions.map(({ id, when }) => [id, when] as const),
    ...book.facts.map(({ id, from }) => [id, from.join(" ")] as const),
  ]);
  let spoken = book.rules
    .filter(({ id }) => rules.has(id))
    .map(({ when }) => when)
    .join(" ");
  for (;;) {
    const named = [...terms].filter(([id]) => new RegExp(`\\b${id}\\b`).test(spoken));
    if (named.length === 0) return spoken;
    for (const [id, term] of named) {
      spoken += ` ${term}`;
      terms.delete(id);
    }
  }
}

function tells({ kind, id, choices }: Question, answer: Answer, spoken: string): boolean {
  if (kind === "touch_sites") return true;
  if (answer === false) return new RegExp(`!\\s*${id}\\b`).test(spoken);
  if (!new RegExp(`\\b(unsure_)?${id}\\b`).test(spoken)) return false;
  if (choices.length === 0 || answer === DONT_KNOW) return true;
  const chosen = Array.isArray(answer) ? answer : [answer];
  return chosen.some((each) => spoken.includes(`'${String(each)}'`));
}

const SIDES = ["left", "right", "both", DONT_KNOW, "not_asked"] as const;
export type Side = (typeof SIDES)[number];

/** Which side a told answer is about; null where it is not about one. */
export function sideOf(book: BookJson, { id }: Question, answers: Answers): Side | null {
  const answer = answers[id];
  const side = book.groups.flatMap(({ questions }) => questions).find((one) => one.side_of === id);
  if (side === undefined || answer === undefined || answer === DONT_KNOW) return null;
  const asked = side.ask_when ?? "";
  const applies =
    typeof answer === "boolean"
      ? answer !== new RegExp(`!\\s*${id}\\b`).test(asked)
      : asked.includes(`'${String(answer)}'`);
  if (!applies) return null;
  return SIDES.find((each) => each === answers[side.id]) ?? "not_asked";
}

function withSide(answer: string, side: Side | null): string {
  return side === null ? answer : t("letter.with_side", { answer, side: t(`letter.side.${side}`) });
}

function words(book: BookJson, question: Question, answer: Answer): string {
  if (answer === DONT_KNOW) return t("letter.not_known");
  if (question.kind === "touch_sites" && Array.isArray(answer)) return touchWords(answer);
  return answerWords(book, question, answer);
}

function touchWords(entries: readonly string[]): string {
  const sites = (state: string) =>
    TOUCH_SITES.filter((site) => entries.includes(`${site}:${state}`));
  const [felt, not] = [sites("felt").length, sites("not_felt")];
  const tried = felt + not.length;
  const touch = t("letter.touch", { felt, tried, all: TOUCH_SITES.length });
  if (not.length === 0) return touch;
  return t("letter.touch_not_felt", { touch, sites: not.map(siteWords).join(", ") });
}

function siteWords(site: string): string {
  const [foot, toe = ""] = site.split("_");
  return t(`letter.site.${foot === "left" ? "left" : "right"}`, { toe: regionWord(`toe_${toe}`) });
}

/**
 * The answers of a screen as they come about where an earlier one can be confirmed.
 * Every step is somebody's tap, or takes an answer away; none gives one by itself.
 */
import type { Answer, Answers } from "../findings";
import type { BookJson } from "./book";
import type { SaidBefore } from "./since-last";

export interface Told {
  answers: Answers;
  /** The questions whose answer was said to be still so. */
  confirmed: readonly string[];
  /** The questions that somebody wants to answer anew. */
  opened: readonly string[];
}

/** Which questions apply is worked out as if the earlier answers were still so, until somebody says otherwise. */
export function asIfStillSo(said: SaidBefore | null, told: Told): Answers {
  return { ...without(said?.answers ?? {}, told.opened), ...told.answers };
}

/** Whether a question is shown with its earlier answer, rather than put. */
export function isRecalled(said: SaidBefore | null, told: Told, question: string): boolean {
  if (said === null || !Object.hasOwn(said.answers, question)) return false;
  if (told.opened.includes(question)) return false;
  return told.confirmed.includes(question) || !Object.hasOwn(told.answers, question);
}

/** "Nothing has changed here", said of these questions. */
export function confirm(said: SaidBefore, told: Told, questions: readonly string[]): Told {
  const fresh = questions.filter(
    (id) => isRecalled(said, told, id) && !told.confirmed.includes(id),
  );
  return {
    ...told,
    answers: { ...told.answers, ...only(said.answers, fresh) },
    confirmed: [...told.confirmed, ...fresh],
  };
}

/** Put a question that was recalled: it is open until it is answered. */
export function open(told: Told, question: string): Told {
  return {
    answers: without(told.answers, [question]),
    confirmed: told.confirmed.filter((id) => id !== question),
    opened: [...told.opened.filter((id) => id !== question), question],
  };
}

/** Back to the earlier answer, which is then still to be confirmed. */
export function recall(told: Told, question: string): Told {
  return { ...open(told, question), opened: told.opened.filter((id) => id !== question) };
}

export function answer(told: Told, question: string, given: Answer | undefined): Told {
  const rest = without(told.answers, [question]);
  return {
    ...told,
    answers: given === undefined ? rest : { ...rest, [question]: given },
    confirmed: told.confirmed.filter((id) => id !== question),
  };
}

/** Without what was confirmed and could not be confirmed now: a referral or a newer screen has come since. */
export function stillFounded(said: SaidBefore | null, from: string | null, told: Told): Told {
  const founded = (id: string) =>
    said !== null && said.from === from && Object.hasOwn(said.answers, id);
  return drop(
    told,
    told.confirmed.filter((id) => !founded(id)),
  );
}

/** A screen that was begun on another day: what is about today, and what was confirmed, is asked again. */
export function onANewDay(book: BookJson, told: Told): Told {
  const daily = book.groups.flatMap((group) =>
    group.questions.filter((question) => group.each_time || question.each_time),
  );
  return drop(told, [...daily.map(({ id }) => id), ...told.confirmed]);
}

function drop(told: Told, ids: readonly string[]): Told {
  return {
    ...told,
    answers: without(told.answers, ids),
    confirmed: told.confirmed.filter((id) => !ids.includes(id)),
  };
}

function without(answers: Answers, ids: readonly string[]): Answers {
  return Object.fromEntries(Object.entries(answers).filter(([id]) => !ids.includes(id)));
}

function only(answers: Answers, ids: readonly string[]): Answers {
  return Object.fromEntries(Object.entries(answers).filter(([id]) => ids.includes(id)));
}

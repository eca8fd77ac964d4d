/**
 * What a client who comes back may confirm instead of being asked again. Nothing here answers a question:
 * only a tap does. docs/decisions/0135 says why each of these is asked afresh.
 */
import type { Id, Instant } from "../../wire/types";
import type { Answers } from "../findings";
import { DONT_KNOW } from "./answers";
import type { BookJson, Group, Question } from "./book";
import { type Compiled, compiled } from "./compiled";
import { UNSURE } from "./expressions";
import { validate } from "./judge";

const DAY_MS = 86_400_000;

export interface EarlierScreen {
  id: Id;
  at: Instant;
  answers: Answers;
  /** The edition that was asked by; empty where nobody said. */
  asked_rulebook: string;
  from_screen: Id | null;
  confirmed: readonly string[];
  /** Entered in error. */
  slip: boolean;
}

export interface Past {
  screens: readonly EarlierScreen[];
  referrals: readonly { reasons: readonly string[]; answered_at: Instant | null }[];
  /** Whether two people asked and did not know of each other. */
  apart: boolean;
}

/** The answers of one screen that may be confirmed, and when each question was last really asked. */
export interface SaidBefore {
  from: Id;
  answers: Answers;
  asked: Readonly<Record<string, Instant>>;
}

/** Null where everything is asked afresh. */
export function saidBefore(book: BookJson, past: Past, now: Date): SaidBefore | null {
  const days = book.settings.confirm_days ?? 0;
  const last = past.screens
    .filter(({ slip }) => !slip)
    .toSorted((one, other) => Date.parse(other.at) - Date.parse(one.at))[0];
  if (last === undefined || past.apart || days === 0) return null;
  const doubted = inDoubt(book, past.referrals, last.at);
  if (doubted === "all") return null;
  const screens = new Map(past.screens.map((screen) => [screen.id, screen]));
  const oldest = now.getTime() - days * DAY_MS;
  const said: SaidBefore = { from: last.id, answers: {}, asked: {} };
  const asked: Record<string, Instant> = {};
  for (const [id, answer] of Object.entries(mayStand(book, last, doubted))) {
    const when = lastAsked(id, last, screens);
    if (when === null || Date.parse(when) < oldest) continue;
    said.answers[id] = answer;
    asked[id] = when;
  }
  return { ...said, asked };
}

/** What of a screen today's book reads as it was meant. */
function mayStand(book: BookJson, last: EarlierScreen, doubted: ReadonlySet<string>): Answers {
  const unread = new Set(validate(book, last.answers, [], null).map(({ field }) => field));
  const same = last.asked_rulebook === book.version;
  const stands = (group: Group, question: Question) =>
    !group.each_time &&
    !question.each_time &&
    !doubted.has(question.id) &&
    !unread.has(`answers.${question.id}`) &&
    // A list may have grown by what was not on offer then.
    (question.choices.length === 0 || same);
  const ids = book.groups
    .filter(({ part }) => part === "health")
    .flatMap((group) => group.questions.filter((question) => stands(group, question)))
    .map(({ id }) => id);
  return Object.fromEntries(
    ids.flatMap((id) => {
      const answer = last.answers[id];
      return answer === undefined || answer === DONT_KNOW ? [] : [[id, answer] as const];
    }),
  );
}

/** The questions that rules hang on which referred the client since a moment; all, where a rule is not known. */
function inDoubt(
  book: BookJson,
  referrals: Past["referrals"],
  since: Instant,
): ReadonlySet<string> | "all" {
  const held = compiled(book);
  const found = new Set<string>();
  for (const { reasons, answered_at } of referrals) {
    if (answered_at !== null && Date.parse(answered_at) < Date.parse(since)) continue;
    const rules = reasons.map((id) => held.rules.find(({ rule }) => rule.id === id));
    if (rules.length === 0) return "all";
    for (const rule of rules) {
      if (rule === undefined) return "all";
      for (const name of rule.when.names.flatMap((each) => sourcesOf(held, each))) found.add(name);
    }
  }
  return found;
}

function sourcesOf(held: Compiled, name: string): readonly string[] {
  const plain = name.startsWith(UNSURE) ? name.slice(UNSURE.length) : name;
  return held.sources.get(plain) ?? [plain];
}

/** Goes back from screen to screen for as long as the answer was only confirmed. Null where the trail ends. */
function lastAsked(
  question: string,
  screen: EarlierScreen,
  screens: ReadonlyMap<Id, EarlierScreen>,
): Instant | null {
  const gone = new Set<Id>();
  let at: EarlierScreen | undefined = screen;
  while (at?.confirmed.includes(question)) {
    if (at.from_screen === null || gone.has(at.id)) return null;
    gone.add(at.id);
    at = screens.get(at.from_screen);
  }
  return at?.at ?? null;
}

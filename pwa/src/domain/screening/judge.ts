/**
 * Judges answers and findings by a book: three-valued, so an unanswered question is never "no".
 * The twin is judge.py, where the reasons stand; both run the vectors of tests/parity.
 */
import { type Answers, type Outcome, refers, weight } from "../findings";
import { checkAge, checkAnswers, checkFindings, InvalidAnswers, type Problem } from "./answers";
import { type BookJson, REFER_TO, type ReferTo, type Rule, WITHIN, type Within } from "./book";
import { type Compiled, compiled } from "./compiled";
import type { FoundSoFar } from "./facts";
import { merge, type MergedLimits } from "./limits";
import { Sitting, unique } from "./sitting";

export interface FiredRule {
  id: string;
  outcome: Outcome;
  refer_to: ReferTo | null;
  within: Within | null;
  limits: string[];
}

export interface OpenRule {
  id: string;
  outcome: Outcome;
  missing: string[];
}

/**
 * `shown` are the questions that apply; `to_ask` those whose answer is still wanted. `to_ask` may
 * also hold "findings" and "age", where those leave a fact unknown.
 */
export interface Judgement {
  outcome: Outcome;
  complete: boolean;
  held: boolean;
  fired: FiredRule[];
  open: OpenRule[];
  to_ask: string[];
  shown: string[];
  limits: MergedLimits;
  referral: { level: Outcome; refer_to: ReferTo; within: Within } | null;
  aftercare: string[];
  weeks_until_next: number | null;
}

export function validate(
  book: BookJson,
  answers: Readonly<Record<string, unknown>>,
  findings: readonly unknown[],
  age: unknown,
): Problem[] {
  const { questions } = compiled(book);
  return [...checkAnswers(questions, answers), ...checkFindings(findings), ...checkAge(age)];
}

export function judge(
  book: BookJson,
  answers: Answers,
  findings: readonly FoundSoFar[],
  age: number | null,
): Judgement {
  const problems = validate(book, answers, findings, age);
  if (problems.length > 0) throw new InvalidAnswers(problems);
  const known = compiled(book);
  const sitting = new Sitting(known, answers, findings, age);
  const { fired, open } = sortedOut(known, sitting);
  const mayApply = [...known.asked].filter(([key]) => sitting.applies.get(key) !== false);
  const unmet = mayApply.filter(([key, { must }]) => must && !sitting.answers.has(key));
  const missing = [...open.map((rule) => rule.missing), ...unmet.map(([key]) => [key])];
  const holding = open.some(({ outcome }) => weight(outcome) >= weight("needs_clearance"));
  const weeks = known.intervals.filter(({ when }) => sitting.value(when) === true);
  return {
    outcome: fired[0]?.outcome ?? "go",
    complete: missing.length === 0,
    held: holding || unmet.length > 0,
    fired,
    open,
    to_ask: unique(missing.flatMap((names) => sitting.wanted(names))),
    shown: mayApply
      .filter(([key, { must }]) => must || sitting.applies.get(key) === true)
      .map(([key]) => key),
    limits: binding(known, new Set([...fired, ...open].map(({ id }) => id))),
    referral: referral(fired),
    aftercare: known.aftercare
      .filter(({ when }) => sitting.value(when) !== false)
      .map(({ id }) => id),
    weeks_until_next: weeks.length === 0 ? null : Math.min(...weeks.map((one) => one.weeks)),
  };
}

/** The rules that are true and those still open, the highest outcome first. */
function sortedOut(book: Compiled, sitting: Sitting): { fired: FiredRule[]; open: OpenRule[] } {
  const fired: FiredRule[] = [];
  const open: OpenRule[] = [];
  for (const { rule, when } of book.rules) {
    const { id, outcome } = rule;
    const value = sitting.value(when);
    if (value === true) fired.push(firedBy(rule));
    if (value === null) open.push({ id, outcome, missing: sitting.missing(when) });
  }
  return { fired: fired.sort(byWeight), open: open.sort(byWeight) };
}

export function firedBy({ id, outcome, refer_to, within, limits }: Rule): FiredRule {
  return { id, outcome, refer_to, within, limits };
}

function byWeight(one: { outcome: Outcome }, other: { outcome: Outcome }): number {
  return weight(other.outcome) - weight(one.outcome);
}

/** An open rule binds too: a question left out must not widen what is allowed. */
export function binding(book: Compiled, rules: ReadonlySet<string>): MergedLimits {
  const named = book.rules
    .filter(({ rule }) => rules.has(rule.id))
    .flatMap(({ rule }) => rule.limits);
  return merge([...book.limits.values()].filter(({ id }) => named.includes(id)));
}

/** By the rules that refer the client on or, where there are none, by those that ask for a clearance. */
export function referral(fired: readonly FiredRule[]): Judgement["referral"] {
  const level = fired[0]?.outcome ?? "go";
  if (level === "go" || level === "go_with_limits") return null;
  const atLevel = fired.filter((rule) => rule.outcome === level);
  const serious = fired.filter((rule) => refers(rule.outcome));
  const referring = serious.length > 0 ? serious : atLevel;
  // A rule of a practice that asks for a clearance may not say of whom.
  return {
    level,
    refer_to: strictest(
      REFER_TO,
      atLevel.map((rule) => rule.refer_to ?? "gp"),
    ),
    within: strictest(
      WITHIN,
      referring.map((rule) => rule.within ?? "weeks"),
    ),
  };
}

function strictest<T>(order: readonly [T, ...T[]], values: readonly T[]): T {
  return order.findLast((one) => values.includes(one)) ?? order[0];
}

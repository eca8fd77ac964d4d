/**
 * Judges answers and findings by a book: three-valued, so an unanswered question is never "no".
 * The twin is judge.py, where the reasons stand; both run the vectors of tests/parity.
 */
import { type Answers, type Outcome, OUTCOMES } from "../findings";
import { checkAge, checkAnswers, checkFindings, InvalidAnswers, type Problem } from "./answers";
import { type BookJson, REFER_TO, type ReferTo, type Rule, WITHIN, type Within } from "./book";
import { compiled } from "./compiled";
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
  referral: { level: "refer_first" | "emergency"; refer_to: ReferTo; within: Within } | null;
  aftercare: string[];
  weeks_until_next: number | null;
}

const weight = (outcome: Outcome) => OUTCOMES.indexOf(outcome);

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
  const { asked, rules, limits, aftercare, intervals } = compiled(book);
  const sitting = new Sitting(compiled(book), answers, findings, age);
  const judged = rules
    .map(({ rule, when }) => ({ rule, when, value: sitting.value(when) }))
    .sort((one, other) => weight(other.rule.outcome) - weight(one.rule.outcome));
  const fired = judged.filter(({ value }) => value === true).map(({ rule }) => rule);
  const open = judged
    .filter(({ value }) => value === null)
    .map(({ rule, when }) => ({ rule, missing: sitting.missing(when) }));
  const mayApply = [...asked].filter(([key]) => sitting.applies.get(key) !== false);
  const unmet = mayApply
    .filter(([key, { must }]) => must && !sitting.answers.has(key))
    .map(([key]) => key);
  const missing = [...open.map((one) => one.missing), ...unmet.map((key) => [key])];
  const holding = open.some(({ rule }) => weight(rule.outcome) >= weight("needs_clearance"));
  const binding = new Set(
    [...fired, ...open.map(({ rule }) => rule)].flatMap((rule) => rule.limits),
  );
  return {
    outcome: fired[0]?.outcome ?? "go",
    complete: missing.length === 0,
    held: holding || unmet.length > 0,
    fired: fired.map(({ id, outcome, refer_to, within, limits }) => ({
      id,
      outcome,
      refer_to,
      within,
      limits,
    })),
    open: open.map(({ rule, missing }) => ({ id: rule.id, outcome: rule.outcome, missing })),
    to_ask: unique(missing.flatMap((names) => sitting.wanted(names))),
    shown: mayApply
      .filter(([key, { must }]) => must || sitting.applies.get(key) === true)
      .map(([key]) => key),
    limits: merge([...limits.values()].filter((limit) => binding.has(limit.id))),
    referral: referral(fired),
    aftercare: aftercare.filter(({ when }) => sitting.value(when) !== false).map(({ id }) => id),
    weeks_until_next: intervals
      .filter(({ when }) => sitting.value(when) === true)
      .reduce<number | null>((least, { weeks }) => Math.min(weeks, least ?? weeks), null),
  };
}

function referral(fired: readonly Rule[]): Judgement["referral"] {
  const referring = fired.filter((rule) => weight(rule.outcome) >= weight("refer_first"));
  const level = referring[0]?.outcome;
  if (level !== "refer_first" && level !== "emergency") return null;
  const atLevel = referring.filter((rule) => rule.outcome === level);
  return {
    level,
    refer_to: strictest(
      REFER_TO,
      atLevel.map((rule) => rule.refer_to),
    ),
    within: strictest(
      WITHIN,
      referring.map((rule) => rule.within),
    ),
  };
}

function strictest<T>(order: readonly [T, ...T[]], values: readonly (T | null)[]): T {
  return order.findLast((one) => values.includes(one)) ?? order[0];
}

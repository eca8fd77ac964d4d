/** Every vector of tests/parity, through the phone's engine; the server runs the same files. */
import { expect, test } from "vitest";

import type { Answers } from "../findings";
import type { FoundSoFar } from "./facts";
import { join } from "./join";
import { judge, type Judgement, validate } from "./judge";
import { bookOf, type Case, read, ruleCases, spokenOf } from "./vectors";

interface Faulty {
  name: string;
  answers: Record<string, unknown>;
  findings: unknown[];
  age: unknown;
  problems: [string, string][];
}

const tiny = bookOf("tiny");
const base = bookOf("base");
const engine = (read("engine.json") as { cases: Case[] }).cases;
const rules = ruleCases();
const problems = (read("problems.json") as { cases: Faulty[] }).cases;
const { cases: joined } = read("joined.json") as {
  cases: { of: number[]; asked_before: string[]; joined: Judgement }[];
};
const judgements = new Map(Object.entries(read("judgements.json") as Record<string, Judgement>));

test.each(engine)("engine: $name", ({ answers, findings, age, expect: expected }) => {
  expect(spokenOf(judge(tiny, answers, findings, age), expected)).toEqual(expected);
});

test.each(rules)("base book: $name", ({ answers, findings, age, expect: expected }) => {
  expect(spokenOf(judge(base, answers, findings, age), expected)).toEqual(expected);
});

test.each(problems)("problems: $name", ({ answers, findings, age, problems: expected }) => {
  const found = validate(tiny, answers, findings, age).map(({ field, code }) => [field, code]);
  expect(found.sort()).toEqual(expected);
  const judging = () => judge(tiny, answers as Answers, findings as FoundSoFar[], age as null);
  if (expected.length > 0) expect(judging).toThrow(expected[0]?.[0]);
});

test.each(rules.map((one, place) => ({ ...one, key: `${place} ${one.name}` })))(
  "whole judgement: $key",
  ({ answers, findings, age, key }) => {
    expect(judge(base, answers, findings, age)).toEqual(judgements.get(key));
  },
);

test.each(joined)("joined: $of after $asked_before", ({ of, asked_before, joined: expected }) => {
  const [first, ...others] = of.flatMap((place) => engine.slice(place).slice(0, 1));
  const judged = ({ answers, findings, age }: Case) => judge(tiny, answers, findings, age);
  expect(first && join(tiny, [judged(first), ...others.map(judged)], asked_before)).toEqual(
    expected,
  );
});

test("no vector is skipped: as many cases as the server counts", () => {
  expect(read("counts.json")).toMatchObject({
    engine: engine.length,
    rules: rules.length,
    problems: problems.length,
    judgements: judgements.size,
    joined: joined.length,
  });
  expect(judgements.size).toBe(rules.length);
});

test("a book with an expression that is no such thing is refused", () => {
  const spoilt = { ...tiny, rules: tiny.rules.map((rule) => ({ ...rule, when: "diabetes > 3" })) };
  expect(() => judge(spoilt, {}, [], null)).toThrow("diabetes > 3");
});

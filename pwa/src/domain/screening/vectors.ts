/** Reads the vector files of tests/parity for the tests, as tests/parity/vectors.py does. */
import { readFileSync } from "node:fs";

import type { Answers } from "../findings";
import type { BookJson } from "./book";
import type { FoundSoFar } from "./facts";
import type { Judgement } from "./judge";

export interface Case {
  name: string;
  answers: Answers;
  findings: FoundSoFar[];
  age: number | null;
  expect: Record<string, unknown>;
}

interface Stated {
  rule: string;
  outcome: string;
  from?: string;
  fires: Answers;
  findings?: Partial<FoundSoFar>[];
  quiet?: Answers;
  open?: string[];
}

interface Rules {
  finding: FoundSoFar;
  baselines: Record<string, { like?: string; age?: number; answers: Answers }>;
  rules: Stated[];
}

export function read(file: string): unknown {
  const place = new URL(`../../../../tests/parity/${file}`, import.meta.url);
  return JSON.parse(readFileSync(place, "utf-8"));
}

export const bookOf = (name: string) => read(`books/${name}.json`) as BookJson;

export function ruleCases(): Case[] {
  const held = read("rules.json") as Rules;
  return held.rules.flatMap((stated) => casesOf(stated, held));
}

function casesOf(stated: Stated, held: Rules): Case[] {
  const { rule, outcome, fires, quiet, open } = stated;
  const { age, answers } = baseline(held, stated.from ?? "well");
  const findings = (stated.findings ?? []).map((finding) => ({ ...held.finding, ...finding }));
  const firing = { rules: { [rule]: "fired" }, outcome_of: { [rule]: outcome } };
  const cases: Case[] = [
    { name: `${rule} fires`, answers: { ...answers, ...fires }, findings, age, expect: firing },
  ];
  if (quiet) {
    const expect = { rules: { [rule]: "quiet" } };
    cases.push({
      name: `${rule} is quiet`,
      answers: { ...answers, ...quiet },
      findings: [],
      age,
      expect,
    });
  }
  if (open) {
    const left = Object.entries(answers).filter(([key]) => !open.includes(key));
    const expect = { rules: { [rule]: "open" }, complete: false };
    const name = `${rule} is open`;
    cases.push({ name, answers: Object.fromEntries(left), findings: [], age, expect });
  }
  return cases;
}

function baseline(held: Rules, name: string): { age: number | null; answers: Answers } {
  const own = held.baselines[name];
  if (own === undefined) throw new Error(`no baseline ${name}`);
  const like = own.like === undefined ? { age: null, answers: {} } : baseline(held, own.like);
  return { age: own.age ?? like.age, answers: { ...like.answers, ...own.answers } };
}

/** A judgement, with each rule's state by its id beside it. */
export function asSeen(judgement: Judgement): Record<string, unknown> {
  const { fired, open } = judgement;
  return {
    ...judgement,
    fired: fired.map(({ id }) => id),
    open: open.map(({ id }) => id),
    rules: Object.fromEntries([
      ...fired.map(({ id }) => [id, "fired"]),
      ...open.map(({ id }) => [id, "open"]),
    ]),
    outcome_of: Object.fromEntries([...fired, ...open].map(({ id, outcome }) => [id, outcome])),
    open_missing: Object.fromEntries(open.map(({ id, missing }) => [id, missing])),
  };
}

const BY_RULE = ["rules", "outcome_of", "open_missing"];

/** What of the judgement the case speaks about, to hold against the case. */
export function spokenOf(judgement: Judgement, expect: Case["expect"]): Record<string, unknown> {
  const seen = asSeen(judgement);
  return Object.fromEntries(
    Object.entries(expect).map(([key, expected]) => {
      if (!BY_RULE.includes(key)) return [key, seen[key]];
      const states = seen[key] as Record<string, unknown>;
      const ids = Object.keys(expected as object);
      return [key, Object.fromEntries(ids.map((id) => [id, states[id] ?? "quiet"]))];
    }),
  );
}

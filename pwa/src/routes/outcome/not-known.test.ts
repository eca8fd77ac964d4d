/** What is said to be unknown behind a reason. The rulebook is the shipped one; what is told of it is our own rule. */
import { expect, it } from "vitest";

import type { Answers } from "../../domain/findings";
import { judge } from "../../domain/screening";
import { bookOf, read } from "../../domain/screening/vectors";
import { bookWord } from "../../words/book";
import { notKnown } from "./not-known";

const book = bookOf("base");
const rules = read("rules.json") as { baselines: Record<string, { answers: Answers }> };
const well = rules.baselines["well"]?.answers ?? {};
const word = (question: string) => bookWord(book, `question.${question}`);

it("names the question behind each rule that a don't-know makes true", () => {
  const before = new Set(judge(book, well, [], 50).fired.map(({ id }) => id));
  const asked = Object.keys(well).filter((id) => !id.endsWith("_foot_seen"));
  const told = asked.flatMap((id) => {
    const answers = { ...well, [id]: "dont_know" };
    const fired = judge(book, answers, [], 50).fired.filter((rule) => !before.has(rule.id));
    return fired.map((rule) => [id, rule.id, notKnown(book, rule.id, [answers])] as const);
  });
  expect(told.length).toBeGreaterThan(40);
  for (const [id, rule, questions] of told) expect([rule, questions]).toEqual([rule, [word(id)]]);
});

it("says nothing of what is known, and nothing that another rule asks", () => {
  expect(
    notKnown(book, "hurt_foot", [{ ...well, foot_injury: true, gout_now: "dont_know" }]),
  ).toEqual([]);
  expect(notKnown(book, "feeling_reduced", [{ numb_feet: "dont_know" }])).toEqual([]);
});

it("looks into every record that counts, and into a touch test that was not finished", () => {
  const records = [{ foot_injury: false }, { foot_injury: "dont_know" }];
  expect(notKnown(book, "hurt_foot", records)).toEqual([word("foot_injury")]);
  const touched = { touch_test: ["left_1:felt"] };
  expect(notKnown(book, "feeling_not_sure", [touched])).toEqual([word("touch_test")]);
  expect(notKnown(book, "one_site_not_felt", [touched])).toEqual([]);
});

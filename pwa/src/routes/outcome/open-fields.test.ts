/** Which fields of findings are named as open. The rulebook is the shipped one; that each is named is our own rule. */
import { expect, it } from "vitest";

import type { Answers, Finding } from "../../domain/findings";
import { judge } from "../../domain/screening";
import { bookOf, read } from "../../domain/screening/vectors";
import { blankFinding } from "../foot-check/finding";
import { openFields } from "./open-fields";

const book = bookOf("base");
const rules = read("rules.json") as { baselines: Record<string, { answers: Answers }> };
const well = rules.baselines["well"]?.answers ?? {};
const whole: Finding = {
  ...blankFinding("crack-1", "left", "sole", "heel_centre"),
  what: "crack",
  depth_mm: 1,
  state: "closed",
  bleeding: false,
  oozing: false,
};

function open(...findings: Finding[]) {
  return openFields(judge(book, well, findings, 50), [{ findings }]);
}

it("are those of the cracks that keep a rule open, each with its place", () => {
  expect(open(whole)).toEqual([]);
  expect(open(whole, { ...whole, id: "crack-2", foot: "right", depth_mm: null })).toEqual([
    { finding: "crack-2", text: "Crack (Right foot, sole: heel, centre): Depth" },
  ]);
  const bare = { ...whole, depth_mm: null, state: null, bleeding: null, oozing: null };
  expect(open(bare).map(({ text }) => text.split("): ")[1])).toEqual([
    "Depth",
    "Is the skin open at the bottom of the crack?",
    "Does it bleed?",
    "Does it ooze?",
  ]);
});

it("are none that would settle nothing any more", () => {
  expect(open({ ...whole, bleeding: true, oozing: null, state: null, depth_mm: 1 })).toEqual([]);
});

/**
 * What the letter of the phone tells of the answers is what the server's tells: both run the vectors of tests/parity.
 * Which answers a clinician should know: our own rule, no source.
 */
import { expect, it, test } from "vitest";

import type { Judgement } from "../../domain/screening";
import { bookOf, read, ruleCases } from "../../domain/screening/vectors";
import { reasonWord } from "../../words/book";
import { reasonsOf } from "./letter";
import { type Side, sideOf, telling, told } from "./told";

const book = bookOf("base");
const judgements = read("judgements.json") as Record<string, Judgement>;
const letters = read("letter.json") as Record<
  string,
  { reasons: string[]; told: [string, Side | null][] }
>;
const cases = ruleCases().map((one, place) => ({ ...one, key: `${String(place)} ${one.name}` }));

test.each(cases)("told: $key", ({ answers, key }) => {
  const fired = (judgements[key]?.fired ?? []).filter(({ outcome }) => outcome !== "go");
  expect(reasonsOf(fired).map(({ id }) => reasonWord(book, id))).toEqual(letters[key]?.reasons);
  const sides = (["health", "foot"] as const).flatMap((part) =>
    telling(book, part, answers, fired).map(([question]) => [
      question.id,
      sideOf(book, question, answers),
    ]),
  );
  expect(sides).toEqual(letters[key]?.told);
});

it("tells a rule of a practice by the words that it has", () => {
  const words = {
    "rule.own_plain": "Ask first.",
    "rule.own_said": "Ask.",
    "reason.own_said": "Pain at rest.",
  };
  const own = { ...book, words: { en: words } };
  const said = ["own_plain", "own_said", "gone"].map((id) => reasonWord(own, id));
  expect(said).toEqual(["Ask first.", "Pain at rest.", "gone"]);
});

it("skips no vector", () => {
  expect(read("counts.json")).toMatchObject({ letter: cases.length });
});

it("says a number with its unit, and how far a light touch was tried", () => {
  const high = [{ id: "diabetes_sugar_high" }];
  const [line] = told(book, "health", { hba1c_percent: 9 }, high);
  expect(line?.[1]).toBe("9 %");
  const touched = ["left_1:felt", "left_3:not_felt", "left_5:no_toe", "right_1:felt"];
  expect(told(book, "foot", { touch_test: touched }, [])[0]?.[1]).toBe(
    "Light touch tried at 3 of the 6 published sites, felt at 2; not felt at: left middle toe",
  );
});

/** What is asked, and which answers go on record. The rulebook is the shipped one. Check: our own rule. */
import { describe, expect, it } from "vitest";

import { judge } from "../../domain/screening";
import { bookOf } from "../../domain/screening/vectors";
import { answersThatApply, forTheClient, readable, stepsOf, waiting, withAnswer } from "./steps";

const book = bookOf("base");
const AGE = 50;
const groups = (answers: Record<string, boolean>) =>
  stepsOf(book, "health", judge(book, answers, [], AGE).shown).map(({ id }) => id);

describe("the groups of questions", () => {
  it("bring up diabetes care for a yes and while it is open, and drop it for a no", () => {
    expect(groups({})).toContain("diabetes_care");
    expect(groups({ diabetes: true })).toContain("diabetes_care");
    expect(groups({ diabetes: false })).not.toContain("diabetes_care");
  });

  it("leave out what is the technician's to judge while the client holds the phone", () => {
    const all = stepsOf(book, "health", judge(book, { understands_today: false }, [], AGE).shown);
    const asked = (steps: typeof all) =>
      steps.flatMap(({ questions }) => questions.map(({ id }) => id));
    const held = asked(forTheClient(all));
    expect(asked(all).filter((id) => !held.includes(id))).toEqual([
      "understands_today",
      "signer_ready",
    ]);
    expect(held).toContain("can_say_stop");
  });

  it("wait for every answer; don't know is one", () => {
    const [first] = stepsOf(book, "health", judge(book, {}, [], AGE).shown);
    if (!first) throw new Error("no questions");
    const ids = first.questions.map(({ id }) => id);
    expect(waiting(first, {})).toHaveLength(ids.length);
    expect(waiting(first, Object.fromEntries(ids.map((id) => [id, "dont_know"])))).toEqual([]);
  });
});

describe("the answers that go on record", () => {
  it("leave out what no longer applies once the answer before it was changed", () => {
    const typed = {
      diabetes: false,
      diabetes_type: "type_2",
      blood_thinner: false,
      inr_high: true,
    };
    expect(answersThatApply(book, "health", typed, {}, AGE)).toEqual({
      diabetes: false,
      blood_thinner: false,
    });
  });

  it("leave out what this book cannot read, and the other part's", () => {
    const typed = { diabetes: true, pregnant: "maybe", no_such_question: true, open_sore: true };
    expect(readable(book, "health", typed)).toEqual({ diabetes: true });
    expect(readable(book, "foot", typed)).toEqual({ open_sore: true });
  });

  it("change one at a time", () => {
    expect(withAnswer({ diabetes: true }, "diabetes", undefined)).toEqual({});
    expect(withAnswer({ diabetes: true }, "falls", false)).toEqual({
      diabetes: true,
      falls: false,
    });
  });
});

/** What a returning client may confirm. The rulebook is the shipped one. Check: our own rule, no source. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import type { Answers } from "../findings";
import { DONT_KNOW } from "./answers";
import { compiled } from "./compiled";
import {
  answer,
  asIfStillSo,
  confirm,
  isRecalled,
  onANewDay,
  open,
  recall,
  stillFounded,
  type Told,
} from "./confirming";
import { judge } from "./judge";
import { type EarlierScreen, type Past, saidBefore } from "./since-last";
import { bookOf } from "./vectors";

const book = bookOf("base");
const NOW = new Date("2026-11-26T09:00:00Z");
const AGE = 70;
const BLANK: Told = { answers: {}, confirmed: [], opened: [] };
const health = book.groups.filter(({ part }) => part === "health");
const questions = health.flatMap((group) => group.questions);
const daily = new Set(
  health.flatMap((group) =>
    group.questions.filter((each) => group.each_time || each.each_time).map(({ id }) => id),
  ),
);

const answerTo = fc.record(
  Object.fromEntries(
    questions.map(({ id, kind, choices, min, max }) => [
      id,
      fc.oneof(
        fc.constant<Answers[string]>(DONT_KNOW),
        kind === "yes_no"
          ? fc.boolean()
          : kind === "choice"
            ? fc.constantFrom(...choices)
            : kind === "choices"
              ? fc.subarray(choices)
              : kind === "number"
                ? fc.integer({ min: min ?? 0, max: max ?? 100 })
                : fc.constantFrom("2024", "2024-05"),
      ),
    ]),
  ),
  { requiredKeys: [] },
) as fc.Arbitrary<Answers>;

function screen(answers: Answers, more: Partial<EarlierScreen> = {}): EarlierScreen {
  return {
    id: "last",
    at: "2026-10-15T09:00:00Z",
    answers,
    asked_rulebook: book.version,
    from_screen: null,
    confirmed: [],
    slip: false,
    ...more,
  };
}

function past(screens: EarlierScreen[], more: Partial<Past> = {}): Past {
  return { screens, referrals: [], apart: false, ...more };
}

const said = (given: Past) => saidBefore(book, given, NOW);

describe("what may be confirmed", () => {
  it("is what was answered then, never what is about today, and never don't know", () => {
    fc.assert(
      fc.property(answerTo, (answers) => {
        const before = said(past([screen(answers)]));
        for (const [id, given] of Object.entries(before?.answers ?? {})) {
          expect(given).toEqual(answers[id]);
          expect(given).not.toBe(DONT_KNOW);
          expect(daily.has(id)).toBe(false);
        }
        const expected = Object.keys(answers).filter(
          (id) => answers[id] !== DONT_KNOW && !daily.has(id),
        );
        expect(Object.keys(before?.answers ?? {}).sort()).toEqual(expected.sort());
      }),
    );
  });

  it("is nothing where two people asked apart, after a slip alone, or by a book of before", () => {
    const last = screen({ diabetes: true });
    expect(said(past([last], { apart: true }))).toBeNull();
    expect(said(past([{ ...last, slip: true }]))).toBeNull();
    const { confirm_days, ...older } = book.settings;
    expect(confirm_days).toBe(365);
    expect(saidBefore({ ...book, settings: older }, past([last]), NOW)).toBeNull();
  });

  it("passes a slip over for the screen before it", () => {
    const slip = screen(
      { diabetes: false },
      { id: "slip", at: "2026-11-01T09:00:00Z", slip: true },
    );
    expect(said(past([slip, screen({ diabetes: true })]))?.answers).toEqual({ diabetes: true });
  });

  it("leaves out what today's book cannot read, and a list that another edition asked", () => {
    const odd = {
      diabetes: "maybe",
      no_such_question: true,
      thin_skin: true,
      foot_exam_flow: "good",
    };
    const other = screen(odd, { asked_rulebook: "another" });
    expect(said(past([screen(odd)]))?.answers).toEqual({ thin_skin: true, foot_exam_flow: "good" });
    expect(said(past([other]))?.answers).toEqual({ thin_skin: true });
  });

  it("is nothing that was last really asked too long ago, however often it was confirmed", () => {
    const asked = (at: string) =>
      past([
        screen(
          { diabetes: true, thin_skin: false },
          { from_screen: "first", confirmed: ["diabetes"] },
        ),
        screen({ diabetes: true }, { id: "first", at }),
      ]);
    expect(said(asked("2025-11-01T09:00:00Z"))?.answers).toEqual({ thin_skin: false });
    expect(said(asked("2026-01-10T09:00:00Z"))).toMatchObject({
      answers: { diabetes: true, thin_skin: false },
      asked: { diabetes: "2026-01-10T09:00:00Z", thin_skin: "2026-10-15T09:00:00Z" },
    });
    const lost = past([
      screen({ diabetes: true }, { from_screen: "gone", confirmed: ["diabetes"] }),
    ]);
    expect(said(lost)?.answers).toEqual({});
  });

  it("is nothing that a rule hangs on which referred the client since, whichever rule it is", () => {
    fc.assert(
      fc.property(answerTo, fc.constantFrom(...book.rules), (answers, rule) => {
        const names = compiled(book).rules.find((each) => each.rule.id === rule.id)?.when.names;
        for (const answered_at of [null, "2026-11-20T09:00:00Z"]) {
          const referrals = [{ reasons: [rule.id], answered_at }];
          const left = said(past([screen(answers)], { referrals }))?.answers ?? {};
          expect(Object.keys(left).filter((id) => names?.includes(id))).toEqual([]);
        }
      }),
    );
  });

  it("is nothing at all where the phone does not know the rules of a referral", () => {
    const last = screen({ diabetes: true, thin_skin: true });
    const referred = (reasons: string[], answered_at: string | null) =>
      said(past([last], { referrals: [{ reasons, answered_at }] }));
    expect(referred([], null)).toBeNull();
    expect(referred(["a_rule_of_another_edition"], null)).toBeNull();
    // One that was over before this screen was asked says nothing of it.
    expect(referred([], "2026-09-01T09:00:00Z")?.answers).toEqual(last.answers);
  });
});

describe("confirming", () => {
  it("answers nothing by itself, and by a tap only what stands on the page", () => {
    fc.assert(
      fc.property(answerTo, fc.subarray(questions), (answers, page) => {
        const before = said(past([screen(answers)]));
        if (before === null) return;
        const ids = page.map(({ id }) => id);
        const told = confirm(before, BLANK, ids);
        expect(BLANK.answers).toEqual({});
        for (const { id } of questions) {
          const there = ids.includes(id) && Object.hasOwn(before.answers, id);
          expect(told.answers[id]).toEqual(there ? answers[id] : undefined);
          expect(told.confirmed.includes(id)).toBe(there);
        }
        expect(confirm(before, told, ids)).toEqual(told);
      }),
    );
  });

  it("of everything, with the rest answered as before, comes to the same screen", () => {
    fc.assert(
      fc.property(answerTo, (answers) => {
        const before = said(past([screen(answers)]));
        if (before === null) return;
        let told = confirm(before, BLANK, Object.keys(before.answers));
        for (const [id, given] of Object.entries(answers)) {
          if (!told.confirmed.includes(id)) told = answer(told, id, given);
        }
        expect(told.answers).toEqual(answers);
      }),
    );
  });

  it("is taken back by whoever opens the question, answers it, or brings the earlier answer back", () => {
    const before = said(past([screen({ diabetes: true, thin_skin: true })]));
    if (before === null) throw new Error("nothing to confirm");
    const told = confirm(before, BLANK, ["diabetes", "thin_skin"]);
    const opened = open(told, "diabetes");
    expect(opened).toEqual({
      answers: { thin_skin: true },
      confirmed: ["thin_skin"],
      opened: ["diabetes"],
    });
    expect(isRecalled(before, opened, "diabetes")).toBe(false);
    expect(confirm(before, opened, ["diabetes", "thin_skin"])).toEqual(opened);
    expect(answer(opened, "diabetes", true).confirmed).toEqual(["thin_skin"]);
    const back = recall(answer(opened, "diabetes", false), "diabetes");
    expect(back).toEqual({ answers: { thin_skin: true }, confirmed: ["thin_skin"], opened: [] });
    expect(isRecalled(before, back, "diabetes")).toBe(true);
  });

  it("puts the questions of a changed answer, and leaves out those of an unchanged one", () => {
    const before = said(past([screen({ blood_thinner: false, diabetes: false })]));
    const shown = (told: Told) => judge(book, asIfStillSo(before, told), [], AGE).shown;
    expect(shown(BLANK)).not.toContain("inr_high");
    expect(shown(BLANK)).not.toContain("diabetes_type");
    expect(shown(answer(open(BLANK, "blood_thinner"), "blood_thinner", true))).toContain(
      "inr_high",
    );
    expect(shown(open(BLANK, "diabetes"))).toContain("diabetes_type");
  });

  it("does not outlast what it rests on, nor the day", () => {
    const before = said(past([screen({ diabetes: true, thin_skin: true })]));
    if (before === null) throw new Error("nothing to confirm");
    const told = answer(confirm(before, BLANK, ["diabetes"]), "unwell_today", false);
    expect(stillFounded(before, "last", told)).toEqual(told);
    for (const none of [stillFounded(null, "last", told), stillFounded(before, "older", told)]) {
      expect(none).toEqual({ answers: { unwell_today: false }, confirmed: [], opened: [] });
    }
    const { diabetes, ...rest } = before.answers;
    expect(diabetes).toBe(true);
    expect(stillFounded({ ...before, answers: rest }, "last", told).confirmed).toEqual([]);
    expect(onANewDay(book, answer(told, "falls", false)).answers).toEqual({ falls: false });
  });
});

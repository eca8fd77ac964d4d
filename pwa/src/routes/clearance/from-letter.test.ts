/** What a form for a clearance takes over, and from which letter. Check: our own rule, no source. */
import { describe, expect, it } from "vitest";

import type { Held } from "../../store";
import type { ClientFile } from "../client/file";
import { type AnswerForm, answerLacks } from "../referral/answer-form";
import { blankClearance, clearanceLacks, untouched } from "./form";
import { clearanceAt, taken } from "./from-letter";

const ME = "Tobias Invented";
const TODAY = "2026-11-27";
const SAID = { clinician: "Dr Invented", clinician_role: "gp", answer: "Yes." };

function letter(id: string, day: string, asks: string[], verdict?: string): Held<"referral"> {
  const recorded_at = `${day}T15:00:00Z`;
  const answers = verdict ? [{ ...SAID, verdict, recorded_at, answered_on: day }] : [];
  const released = verdict === "may" ? recorded_at : null;
  return {
    id,
    row: {
      ...{ level: "needs_clearance", made_at: `${day}T10:00:00Z`, reasons: asks, asks },
      ...{ answers, answer_recorded_at: released },
    },
  } as unknown as Held<"referral">;
}

function at(asking: string[], ...referrals: Held<"referral">[]): string {
  const fired = asking.map((id) => ({ id, outcome: "needs_clearance" }));
  return clearanceAt({ id: "c", judgement: { fired }, referrals } as unknown as ClientFile);
}

describe("a clearance", () => {
  const yes = letter("yes", "2026-11-20", ["ulcer"], "may");

  it("is written down after the letter about the same, once that has its yes", () => {
    expect(at(["ulcer"], yes)).toBe("/client/c/clearance/yes");
    expect(at(["ulcer"], letter("w", "2026-11-20", ["ulcer"]))).toBe("/client/c/clearance");
    expect(at(["ulcer"], letter("n", "2026-11-20", ["ulcer"], "may_not"))).toBe(
      "/client/c/clearance",
    );
  });

  it("takes nothing from a letter about something else, nor from an older one", () => {
    expect(at(["kidney"], yes)).toBe("/client/c/clearance");
    expect(at(["ulcer"], yes, letter("newer", "2026-11-26", ["ulcer"]))).toBe(
      "/client/c/clearance",
    );
    expect(at(["ulcer"], letter("unsent", "2026-11-26", []), yes)).toBe("/client/c/clearance");
    expect(at(["ulcer"])).toBe("/client/c/clearance");
  });

  it("takes over who said yes, when and what; never from who waits or said no", () => {
    expect(taken(yes.row)).toEqual({
      ...{ clinician: "Dr Invented", clinician_role: "gp", given_on: "2026-11-20" },
      ...{ scope: "Yes.", covers: ["ulcer"] },
    });
    expect(taken(letter("w", "2026-11-20", ["ulcer"]).row)).toBeNull();
    expect(taken(letter("n", "2026-11-20", ["ulcer"], "may_not").row)).toBeNull();
  });

  it("leaves a form alone in which something is written", () => {
    expect(untouched(blankClearance())).toBe(true);
    expect(untouched({ ...blankClearance(), scope: "Filing" })).toBe(false);
    expect(untouched({ ...blankClearance(), covers: ["ulcer"] })).toBe(false);
  });
});

const NOTHING = { missing: [], wrong: [] };

describe("a form for a clearance waits", () => {
  const whole = {
    ...blankClearance(),
    ...{ clinician: "Dr Invented", clinician_role: "gp", scope: "Filing", covers: ["ulcer"] },
    ...{ given_on: "2026-11-26", expires_on: "2027-02-26", evidence_note: "Told by phone" },
  };
  const around = { me: ME, today: TODAY, letter: "2026-11-25" };
  it.each([
    ["for nothing", {}, {}],
    ["for another clinician", { clinician: "dr. tobias  invented" }, { wrong: ["clinician.name"] }],
    ["for a day that is not ahead", { given_on: "2026-11-28" }, { wrong: ["clearance.given_on"] }],
    ["for a day after the letter", { given_on: "2026-11-24" }, { wrong: ["clearance.given_on"] }],
    [
      "for an end within so many days",
      { expires_on: "2027-03-07" },
      { wrong: ["clearance.expires_on"] },
    ],
    ["for no earlier end than the last", { expires_on: "2027-03-06" }, {}],
    ["for an end at all", { expires_on: "9999-12-31" }, { wrong: ["clearance.expires_on"] }],
    [
      "for an end after it was given",
      { expires_on: "2026-11-25" },
      { wrong: ["clearance.expires_on"] },
    ],
    ["for what shows it", { evidence_note: " " }, { missing: ["clearance.evidence"] }],
    ["for no note beside a photo", { evidence_note: "", evidence_photo: "p" }, {}],
  ])("%s", (_, change, lacks) => {
    expect(clearanceLacks({ ...whole, ...change }, around, 100)).toEqual({ ...NOTHING, ...lacks });
  });

  it("for no letter where it comes after none", () => {
    const old = { ...whole, given_on: "2026-05-03" };
    expect(clearanceLacks(old, { ...around, letter: null }, 366)).toEqual(NOTHING);
  });
});

describe("a form for an answer waits", () => {
  const whole: AnswerForm = { ...SAID, answered_on: "2026-11-26", verdict: "may" };
  const around = { me: ME, today: TODAY, letter: "2026-11-25" };
  it.each([
    ["for nothing", {}, {}],
    ["for another clinician", { clinician: "Invented, Tobias" }, { wrong: ["clinician.name"] }],
    [
      "for a day that is not ahead",
      { answered_on: "2026-11-28" },
      { wrong: ["referral.answered_on"] },
    ],
    [
      "for a day after the letter",
      { answered_on: "2026-11-24" },
      { wrong: ["referral.answered_on"] },
    ],
    ["for no other words of a no", { clinician: ME, verdict: "may_not" }, {}],
    ["for no other day of a no", { answered_on: "2026-11-24", verdict: "may_not" }, {}],
    [
      "for a no that is not ahead",
      { answered_on: "2026-11-28", verdict: "may_not" },
      { wrong: ["referral.answered_on"] },
    ],
    [
      "for a day that is there at all, which is not one that is wrong",
      { answered_on: "" },
      { missing: ["referral.answered_on"] },
    ],
    [
      "for what was said",
      { verdict: "", answer: "" },
      { missing: ["referral.missing_verdict", "referral.answer"] },
    ],
  ])("%s", (_, change, lacks) => {
    expect(answerLacks({ ...whole, ...change }, around)).toEqual({ ...NOTHING, ...lacks });
  });
});

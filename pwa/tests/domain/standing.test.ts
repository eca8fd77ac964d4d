import fc from "fast-check";
import { describe, expect, it } from "vitest";

import vectors from "../../../tests/parity/standing.json" with { type: "json" };
import { OUTCOMES } from "../../src/domain/findings";
import { standing, type StandingFacts } from "../../src/domain/standing";

const AT = "2026-11-25T15:00:00Z";
const moment = (hours: number) =>
  new Date(Date.parse(AT) + hours * 3_600_000).toISOString().replace(".000", "");

/** A client who may be worked on: everything is current and clear. */
const CLEAR: StandingFacts = {
  at: AT,
  day: "2026-11-25",
  valid_hours: 24,
  decides_for_self: true,
  screened_at: moment(-1),
  checked_at: moment(-1),
  judgement: { outcome: "go", held: false, fired: [] },
  referrals: [],
  clearances: [],
  consents: [{ by_representative: false, signed_at: moment(-48), withdrawn_at: null }],
};

const answers = fc.record({
  answered_on: fc.constantFrom("2026-11-22", "2026-11-24", "2026-11-25"),
  recorded_at: fc.integer({ min: -90, max: 0 }).map(moment),
  verdict: fc.constantFrom("may", "may_with_conditions", "may_not"),
});
const facts = fc.record({
  at: fc.constant(AT),
  day: fc.constant("2026-11-25"),
  valid_hours: fc.constantFrom(1, 24),
  decides_for_self: fc.boolean(),
  screened_at: fc.option(fc.integer({ min: -50, max: 2 }).map(moment)),
  checked_at: fc.option(fc.integer({ min: -50, max: 2 }).map(moment)),
  judgement: fc.option(
    fc.record({
      outcome: fc.constantFrom(...OUTCOMES),
      held: fc.boolean(),
      fired: fc.array(
        fc.record({ id: fc.constantFrom("a", "b", "c"), outcome: fc.constantFrom(...OUTCOMES) }),
        { maxLength: 3 },
      ),
    }),
  ),
  referrals: fc.array(
    fc.record({
      level: fc.constantFrom(...OUTCOMES),
      answers: fc.array(answers, { maxLength: 3 }),
    }),
    { maxLength: 3 },
  ),
  clearances: fc.array(
    fc.record({
      given_on: fc.constantFrom("2026-10-01", "2026-11-25", "2026-12-01"),
      expires_on: fc.constantFrom("2026-11-24", "2026-11-25", "2027-01-01"),
      covers: fc.subarray(["a", "b", "c"]),
      withdrawn_at: fc.option(fc.integer({ min: -90, max: 1 }).map(moment)),
    }),
    { maxLength: 2 },
  ),
  consents: fc.array(
    fc.record({
      by_representative: fc.boolean(),
      signed_at: fc.integer({ min: -90, max: 1 }).map(moment),
      withdrawn_at: fc.option(fc.integer({ min: -90, max: 1 }).map(moment)),
    }),
    { maxLength: 2 },
  ),
});

const yes = (hours: number) => ({
  answered_on: "2026-11-25",
  recorded_at: moment(hours),
  verdict: "may",
});
const may = (given: StandingFacts) => standing(given).may_start;
const always = (check: (given: StandingFacts) => void) => {
  fc.assert(fc.property(facts, check), { numRuns: 2000 });
};

describe("the vectors that both languages read", () => {
  it.each(vectors)("$name", ({ facts: given, expected }) => {
    const { reasons, may_start } = standing(given as StandingFacts);
    expect({ reasons, may_start }).toEqual({
      reasons: expected.reasons,
      may_start: expected.reasons.length === 0,
    });
  });
});

describe("work may start", () => {
  it("where everything is current and clear", () => {
    expect(standing(CLEAR)).toEqual({ may_start: true, reasons: [], outcome: "go" });
  });

  it.each<[string, Partial<StandingFacts>, string[]]>([
    ["no screen", { screened_at: null, judgement: null }, ["no_screen"]],
    ["a screen of 25 hours ago", { screened_at: moment(-25) }, ["screen_not_current"]],
    ["a screen from the future", { screened_at: moment(1) }, ["screen_not_current"]],
    ["no foot check", { checked_at: null }, ["no_foot_check"]],
    ["an old foot check", { checked_at: moment(-25) }, ["foot_check_not_current"]],
    ["no consent", { consents: [] }, ["no_consent"]],
    ["a client who cannot decide", { decides_for_self: false }, ["consent_by_representative"]],
    [
      "a withdrawn consent",
      { consents: [{ by_representative: false, signed_at: moment(-9), withdrawn_at: moment(-1) }] },
      ["no_consent"],
    ],
    [
      "an open question that could hold",
      { judgement: { outcome: "go", held: true, fired: [] } },
      ["questions_open"],
    ],
    [
      "an unanswered referral",
      { referrals: [{ level: "refer_first", answers: [] }] },
      ["referral_unanswered"],
    ],
    [
      "an answer after the last screen",
      { referrals: [{ level: "emergency", answers: [yes(0)] }] },
      ["screen_before_answer"],
    ],
    [
      "a rule that wants a clearance",
      {
        judgement: {
          outcome: "needs_clearance",
          held: false,
          fired: [{ id: "a", outcome: "needs_clearance" }],
        },
        clearances: [
          { given_on: "2026-01-01", expires_on: "2026-11-24", covers: ["a"], withdrawn_at: null },
          {
            given_on: "2026-01-01",
            expires_on: "2026-12-24",
            covers: ["a"],
            withdrawn_at: moment(0),
          },
        ],
      },
      ["needs_clearance"],
    ],
  ])("not with %s", (_what, change, reasons) => {
    expect(standing({ ...CLEAR, ...change })).toMatchObject({ may_start: false, reasons });
  });

  it("on the last hour of a screen and on the last day of a clearance", () => {
    const judgement = {
      outcome: "needs_clearance",
      held: false,
      fired: [{ id: "a", outcome: "needs_clearance" }],
    } as const;
    const held = { given_on: "2026-11-25", expires_on: "2026-11-25", covers: ["a"] };
    const clearances = [{ ...held, withdrawn_at: null }];
    expect(may({ ...CLEAR, screened_at: moment(-24), judgement, clearances })).toBe(true);
  });
});

describe("whatever else is on record", () => {
  it("nobody starts on refer_first, emergency or a referral without a yes", () => {
    always((given) => {
      const serious = ["refer_first", "emergency"];
      const refers = serious.includes(given.judgement?.outcome ?? "go");
      const waiting = given.referrals.some(
        ({ level, answers: said }) =>
          serious.includes(level) && !said.some(({ verdict }) => verdict !== "may_not"),
      );
      if (refers || waiting) expect(may(given)).toBe(false);
    });
  });

  it("nobody starts without consent, screen or foot check", () => {
    always((given) => {
      for (const less of [{ consents: [] }, { screened_at: null }, { checked_at: null }]) {
        expect(may({ ...given, ...less })).toBe(false);
      }
    });
  });

  it("no clearance opens what a referral holds, and one more never closes anything", () => {
    always((given) => {
      const days = { given_on: "2026-01-01", expires_on: "2027-01-01" };
      const all = { ...days, covers: ["a", "b", "c"], withdrawn_at: null };
      const more = { ...given, clearances: [...given.clearances, all] };
      if (may(given)) expect(may(more)).toBe(true);
      const gone = (code: string) => code !== "needs_clearance";
      expect(standing(more).reasons.filter(gone)).toEqual(standing(given).reasons.filter(gone));
    });
  });

  it("one more no never opens anything", () => {
    always((given) => {
      if (may(given)) return;
      fc.assert(
        fc.property(answers, (answer) => {
          const no = { ...answer, verdict: "may_not" };
          const referrals = given.referrals.map((each) => ({
            ...each,
            answers: [...each.answers, no],
          }));
          expect(may({ ...given, referrals })).toBe(false);
        }),
        { numRuns: 5 },
      );
    });
  });

  it("one more referral or an open question never opens anything", () => {
    always((given) => {
      if (may(given)) return;
      const referrals = [...given.referrals, { level: "emergency", answers: [] } as const];
      expect(may({ ...given, referrals })).toBe(false);
      const judgement = given.judgement && { ...given.judgement, held: true };
      expect(may({ ...given, judgement })).toBe(false);
    });
  });
});

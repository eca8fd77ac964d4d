/**
 * Check: our own rule. What is most urgent is asked after first; what is answered is not asked after, nor a letter for
 * a clearance once one came. `tests/intake/test_letters_for_a_clearance.py` has the same cases for the server.
 */
import { expect, it } from "vitest";

import type { Outcome } from "../../src/domain/findings";
import { waitingReferrals } from "../../src/domain/referrals";

type Clearances = Parameters<typeof waitingReferrals>[1];

function waiting(referrals: readonly ReturnType<typeof referral>[], clearances: Clearances = []) {
  return waitingReferrals(referrals, clearances, (at) => at.slice(0, 10)).map(({ id }) => id);
}

function referral(id: string, level: Outcome, day: string, more = {}) {
  const nobody = { answered_on: null, clinician: "", clinician_role: "", answer: "" };
  const unanswered = { ...nobody, answer_recorded_at: null, entered_in_error: false };
  const made = { client: "c", made_at: `2026-11-${day}T09:00:00Z`, reasons: [] as string[] };
  return { id, row: { level, ...made, ...unanswered, ...more } };
}

it("puts an emergency first, then the oldest, and leaves out what is done", () => {
  const answered = { answer_recorded_at: "2026-11-21T09:00:00Z" };
  const all = [
    referral("newer", "refer_first", "24"),
    referral("older", "refer_first", "03"),
    referral("answered", "emergency", "20", answered),
    referral("slip", "emergency", "20", { entered_in_error: true }),
    referral("emergency", "emergency", "25"),
  ];
  expect(waiting(all)).toEqual(["emergency", "older", "newer"]);
});

it("keeps a slip to which a clinician has said no", () => {
  const no = {
    ...{ clinician: "Dr Invented", clinician_role: "gp", answer: "No." },
    ...{ answered_on: "2026-11-21", recorded_at: "2026-11-21T09:00:00Z", verdict: "may_not" },
  };
  const slip = referral("slip", "emergency", "20", { entered_in_error: true, answers: [no] });
  expect(waiting([slip])).toEqual(["slip"]);
});

it("orders by the moment, not by how the time is written", () => {
  const west = { made_at: "2026-11-20T20:00:00-06:00" };
  const east = { made_at: "2026-11-21T01:00:00+00:00" };
  const all = [
    referral("later", "refer_first", "20", west),
    referral("earlier", "refer_first", "20", east),
  ];
  expect(waiting(all)).toEqual(["earlier", "later"]);
});

const ASKS = { asks: ["kidney", "steroids"], reasons: ["kidney", "steroids", "skin_thin"] };

function clearance(expires_on: string, covers: string[], more = {}): Clearances[number] {
  return { row: { client: "c", expires_on, covers, ...more } };
}

it("waits for a clearance until one covers all that was asked, whoever gave it and in how many parts", () => {
  const letter = referral("letter", "needs_clearance", "20", ASKS);
  expect(waiting([letter])).toEqual(["letter"]);
  const part = clearance("2026-12-31", ["kidney"]);
  expect(waiting([letter], [part])).toEqual(["letter"]);
  expect(waiting([letter], [part, clearance("2026-12-31", ["steroids"])])).toEqual([]);
});

it.each([
  ["was over by then", clearance("2026-11-19", ASKS.asks)],
  [
    "was withdrawn by then",
    clearance("2027-01-01", ASKS.asks, { withdrawn_at: "2026-11-20T09:00:00Z" }),
  ],
  ["is of somebody else", { row: { ...clearance("2027-01-01", ASKS.asks).row, client: "d" } }],
])("takes no clearance for an answer that %s", (_, given) => {
  expect(waiting([referral("letter", "needs_clearance", "20", ASKS)], [given])).toEqual(["letter"]);
});

it("waits no longer where a newer one tells the same, but for a slip", () => {
  const all = [
    referral("letter", "needs_clearance", "20", ASKS),
    referral("newer", "needs_clearance", "21", { asks: ["cancer_care"], reasons: ["cancer_care"] }),
  ];
  const told = { reasons: ["kidney", "steroids", "cancer_care"], asks: [] };
  expect(waiting(all)).toEqual(["letter", "newer"]);
  expect(waiting([...all, referral("serious", "refer_first", "22", told)])).toEqual(["serious"]);
  const slip = { ...told, entered_in_error: true };
  expect(waiting([...all, referral("slip", "refer_first", "22", slip)])).toEqual([
    "letter",
    "newer",
  ]);
});

it("is called off where only a clearance was asked for", () => {
  const steps = [
    { what: "printed", note: "" },
    { what: "called_off", note: "Moved away" },
  ];
  const all = [
    referral("letter", "needs_clearance", "20", { ...ASKS, steps }),
    referral("serious", "refer_first", "20", { steps }),
  ];
  expect(waiting(all)).toEqual(["serious"]);
});

it("is not called off without a reason", () => {
  const steps = [{ what: "called_off", note: "" }];
  expect(waiting([referral("letter", "needs_clearance", "20", { ...ASKS, steps })])).toEqual([
    "letter",
  ]);
});

it("waits no longer where a newer one told the same and was answered", () => {
  const letter = referral("letter", "needs_clearance", "20", ASKS);
  const done = { reasons: ASKS.asks, answer_recorded_at: "2026-11-21T10:00:00Z" };
  expect(waiting([letter, referral("serious", "refer_first", "21", done)])).toEqual([]);
});

it("is settled by nothing but an answer once a clinician has said no", () => {
  const no = {
    ...{ clinician: "Dr Invented", clinician_role: "gp", answer: "No." },
    ...{ answered_on: "2026-11-21", recorded_at: "2026-11-21T09:00:00Z", verdict: "may_not" },
  };
  const more = { ...ASKS, answers: [no], steps: [{ what: "called_off", note: "x" }] };
  const refused = referral("refused", "needs_clearance", "20", more);
  expect(waiting([refused], [clearance("2027-01-01", ASKS.asks)])).toEqual(["refused"]);
});

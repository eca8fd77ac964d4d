/** Check: our own rule. What is most urgent is asked after first; what is answered is not asked after. */
import { expect, it } from "vitest";

import type { Outcome } from "../../src/domain/findings";
import { waitingReferrals } from "../../src/domain/referrals";

function referral(id: string, level: Outcome, day: string, more = {}) {
  const nobody = { answered_on: null, clinician: "", clinician_role: "", answer: "" };
  const waiting = { ...nobody, answer_recorded_at: null, entered_in_error: false };
  return { id, row: { level, made_at: `2026-11-${day}T09:00:00Z`, ...waiting, ...more } };
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
  expect(waitingReferrals(all).map(({ id }) => id)).toEqual(["emergency", "older", "newer"]);
});

it("keeps a slip to which a clinician has said no", () => {
  const no = {
    ...{ clinician: "Dr Invented", clinician_role: "gp", answer: "No." },
    ...{ answered_on: "2026-11-21", recorded_at: "2026-11-21T09:00:00Z", verdict: "may_not" },
  };
  const slip = referral("slip", "emergency", "20", { entered_in_error: true, answers: [no] });
  expect(waitingReferrals([slip])).toEqual([slip]);
});

it("orders by the moment, not by how the time is written", () => {
  const west = { made_at: "2026-11-20T20:00:00-06:00" };
  const east = { made_at: "2026-11-21T01:00:00+00:00" };
  const all = [
    referral("later", "refer_first", "20", west),
    referral("earlier", "refer_first", "20", east),
  ];
  expect(waitingReferrals(all).map(({ id }) => id)).toEqual(["earlier", "later"]);
});

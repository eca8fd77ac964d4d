/** The pure decision whether a client may be worked on. `intake/rules.py` decides alike. */
import type { Day, Instant } from "../wire/types";
import { type Outcome, OUTCOMES } from "./findings";

export interface ReferralFact {
  level: Outcome;
  /** When an answer came on record, or null while there is none. */
  answered_at: Instant | null;
}

export interface ClearanceFact {
  given_on: Day;
  expires_on: Day;
  covers: readonly string[];
  withdrawn_at: Instant | null;
}

export interface ConsentFact {
  by_representative: boolean;
  signed_at: Instant;
  withdrawn_at: Instant | null;
}

/** What the decision needs of a judgement. */
export interface JudgedFact {
  outcome: Outcome;
  held: boolean;
  fired: readonly { id: string; outcome: Outcome }[];
}

/**
 * Everything the decision rests on. `screened_at` and `checked_at` are of the newest ones, or null where the
 * newest was entered in error. `judgement` is what the rulebook makes of the foot check and of the screens that
 * stand together, joined, or null where it can't read them. `day` is the date of `at` in the practice's zone.
 */
export interface StandingFacts {
  at: Instant;
  day: Day;
  valid_hours: number;
  decides_for_self: boolean;
  screened_at: Instant | null;
  checked_at: Instant | null;
  judgement: JudgedFact | null;
  referrals: readonly ReferralFact[];
  clearances: readonly ClearanceFact[];
  consents: readonly ConsentFact[];
}

export type StandingReason =
  | "referral_unanswered"
  | "screen_before_answer"
  | "no_screen"
  | "screen_not_current"
  | "no_foot_check"
  | "foot_check_not_current"
  | "refer_first"
  | "emergency"
  | "questions_open"
  | "needs_clearance"
  | "no_consent"
  | "consent_by_representative";

export interface Standing {
  may_start: boolean;
  /** In the order in which a person should deal with them. */
  reasons: StandingReason[];
  outcome: Outcome | null;
}

export function standing(facts: StandingFacts): Standing {
  const reasons = [
    ...heldByReferral(facts),
    ...ageOfRecords(facts),
    ...judged(facts),
    ...consented(facts),
  ];
  const outcome = facts.judgement === null ? null : facts.judgement.outcome;
  return { may_start: reasons.length === 0, reasons, outcome };
}

function refers(outcome: Outcome): outcome is "refer_first" | "emergency" {
  return OUTCOMES.indexOf(outcome) >= OUTCOMES.indexOf("refer_first");
}

/** Asking again is no way past: an answer must be on record, and a screen after it. */
function heldByReferral(facts: StandingFacts): StandingReason[] {
  const answers = facts.referrals
    .filter((referral) => refers(referral.level))
    .map((referral) => referral.answered_at);
  if (answers.includes(null)) return ["referral_unanswered"];
  const newest = Math.max(...answers.map((answered) => Date.parse(answered ?? "")));
  const screened = facts.screened_at === null ? -Infinity : Date.parse(facts.screened_at);
  return answers.length > 0 && screened <= newest ? ["screen_before_answer"] : [];
}

function ageOfRecords(facts: StandingFacts): StandingReason[] {
  const reasons: StandingReason[] = [];
  if (facts.screened_at === null) reasons.push("no_screen");
  else if (!isCurrent(facts.screened_at, facts)) reasons.push("screen_not_current");
  if (facts.checked_at === null) reasons.push("no_foot_check");
  else if (!isCurrent(facts.checked_at, facts)) reasons.push("foot_check_not_current");
  return reasons;
}

function isCurrent(moment: Instant, facts: StandingFacts): boolean {
  const age = Date.parse(facts.at) - Date.parse(moment);
  return age >= 0 && age <= facts.valid_hours * 3_600_000;
}

function judged(facts: StandingFacts): StandingReason[] {
  const { judgement } = facts;
  if (judgement === null) return facts.screened_at === null ? [] : ["questions_open"];
  if (refers(judgement.outcome)) return [judgement.outcome];
  const reasons: StandingReason[] = [];
  if (judgement.held) reasons.push("questions_open");
  if (judgement.outcome === "needs_clearance" && !cleared(facts, judgement)) {
    reasons.push("needs_clearance");
  }
  return reasons;
}

/** Each rule that asks for a clearance is covered by one that is valid on the day. */
function cleared(facts: StandingFacts, judgement: JudgedFact): boolean {
  const at = Date.parse(facts.at);
  const valid = facts.clearances.filter(
    ({ given_on, expires_on, withdrawn_at }) =>
      given_on <= facts.day &&
      facts.day <= expires_on &&
      (withdrawn_at === null || Date.parse(withdrawn_at) > at),
  );
  const covered = new Set(valid.flatMap((clearance) => clearance.covers));
  return judgement.fired
    .filter((rule) => rule.outcome === "needs_clearance")
    .every((rule) => covered.has(rule.id));
}

function consented(facts: StandingFacts): StandingReason[] {
  const at = Date.parse(facts.at);
  const stands = facts.consents.filter(
    (consent) =>
      Date.parse(consent.signed_at) <= at &&
      (consent.withdrawn_at === null || Date.parse(consent.withdrawn_at) > at),
  );
  if (stands.length === 0) return ["no_consent"];
  if (!facts.decides_for_self && !stands.some((consent) => consent.by_representative)) {
    return ["consent_by_representative"];
  }
  return [];
}

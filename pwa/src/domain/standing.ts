/** The pure decision whether a client may be worked on. `intake/rules.py` decides alike. */
import type { Day, Instant } from "../wire/types";
import { type ClearanceFact, covered, inForce } from "./clearances";
import { type Outcome, refers } from "./findings";
import { type AnswerFact, refused, releasedAt } from "./verdicts";

export interface ReferralFact {
  level: Outcome;
  answers: readonly AnswerFact[];
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
 * newest was entered in error. `judgement` is what the rulebook makes of the screens and the foot checks that stand
 * together, joined, with what records of the last hours asked a clearance for, or null where it can't read them.
 * `day` is the date of `at` in the practice's zone.
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
  | "clinician_said_no"
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

/**
 * At which step on the way to a visit a reason is dealt with. What is dealt with at the outcome holds the client
 * for what is known of them, not for what is still to be done.
 */
export const STEP_OF: Readonly<Record<StandingReason, "screen" | "feet" | "outcome" | "consent">> =
  {
    clinician_said_no: "outcome",
    referral_unanswered: "outcome",
    screen_before_answer: "screen",
    no_screen: "screen",
    screen_not_current: "screen",
    no_foot_check: "feet",
    foot_check_not_current: "feet",
    refer_first: "outcome",
    emergency: "outcome",
    questions_open: "outcome",
    needs_clearance: "outcome",
    no_consent: "consent",
    consent_by_representative: "consent",
  };

export function heldByOutcome(reasons: readonly StandingReason[]): boolean {
  return reasons.some((reason) => STEP_OF[reason] === "outcome");
}

/** What may come in while a visit goes on and speaks against it. A screen that grows old does not. */
export function heldMeanwhile(reasons: readonly StandingReason[]): boolean {
  return reasons.some(
    (reason) =>
      STEP_OF[reason] === "outcome" ||
      STEP_OF[reason] === "consent" ||
      reason === "screen_before_answer",
  );
}

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

/**
 * Asking again is no way past: a yes must be on record, and a screen after it. Where only a clearance is asked for,
 * `cleared` says what lets the client go.
 */
function heldByReferral(facts: StandingFacts): StandingReason[] {
  const serious = facts.referrals.filter((referral) => refers(referral.level));
  const reasons: StandingReason[] = [];
  if (facts.referrals.some(({ answers }) => refused(answers))) reasons.push("clinician_said_no");
  if (serious.some(({ answers }) => answers.length === 0)) reasons.push("referral_unanswered");
  if (reasons.length > 0) return reasons;
  const released = serious.map(({ answers }) => Date.parse(releasedAt(answers) ?? ""));
  const screened = facts.screened_at === null ? -Infinity : Date.parse(facts.screened_at);
  return released.length > 0 && screened <= Math.max(...released) ? ["screen_before_answer"] : [];
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
  const rules = covered(inForce(facts.clearances, facts.at, facts.day));
  return judgement.fired
    .filter((rule) => rule.outcome === "needs_clearance")
    .every((rule) => rules.has(rule.id));
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

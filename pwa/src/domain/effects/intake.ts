/**
 * What screens, foot checks, consents, referrals and clearances do to the phone's rows. The judgement is
 * not made again here: the server judges every report itself, and its rows replace these.
 */
import type { Id } from "../../wire/types";
import type { Outcome } from "../findings";
import { amend, type Change, type Effect, type Made, put } from "./change";

export const recordScreen: Effect<"record_screen"> = ({ screen, shown_outcome, ...told }, made) => [
  put("health_screen", screen, { ...told, ...judged(shown_outcome, made) }, told.client),
  ...referralAtOnce(shown_outcome, screen, told.client, made),
];

export const recordFootCheck: Effect<"record_foot_check"> = (
  { check, shown_outcome, ...told },
  made,
) => [
  put("foot_check", check, { ...told, ...judged(shown_outcome, made) }, told.client),
  ...referralAtOnce(shown_outcome, check, told.client, made),
];

export const markEnteredInError: Effect<"mark_entered_in_error"> = ({ what, row }) => [
  amend(what, row, { entered_in_error: true }),
];

// The signature itself is evidence for the server; the phone works by the rest of the row.
export const signConsent: Effect<"sign_consent"> = ({ consent, strokes, ...signed }) => [
  put("consent", consent, { ...signed, withdrawn_at: null, withdrawn_reason: "" }, signed.client),
];

export const withdrawConsent: Effect<"withdraw_consent"> = ({ consent, withdrawn_at, reason }) => [
  amend("consent", consent, { withdrawn_at, withdrawn_reason: reason }),
];

export const recordReferralAnswer: Effect<"record_referral_answer"> = (
  { referral, ...answer },
  made,
) => [amend("referral", referral, { ...answer, answered_at: made.at })];

export const recordClearance: Effect<"record_clearance"> = ({ clearance, ...given }) => [
  put("clearance", clearance, given, given.client),
];

function judged(outcome: Outcome, made: Made) {
  return { outcome, rulebook: made.rulebook, entered_in_error: false };
}

/** A referral stands from the moment of the outcome, with no signal as well, and holds the work. */
function referralAtOnce(outcome: Outcome, id: Id, client: Id, made: Made): Change[] {
  if (outcome !== "refer_first" && outcome !== "emergency") return [];
  const unanswered = { answered_on: null, answered_at: null, answer: "" };
  const nobody = { refer_to: null, within: null, clinician: "", clinician_role: "" };
  const referral = { client, level: outcome, made_at: made.at, ...nobody, ...unanswered };
  return [put("referral", id, referral, client)];
}

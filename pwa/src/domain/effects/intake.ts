/**
 * What screens, foot checks, consents, referrals and clearances do to the phone's rows. The judgement is
 * not made again here: the server judges every report itself, and its rows replace these.
 */
import type { Id } from "../../wire/types";
import type { Outcome } from "../findings";
import { answersOf } from "../referrals";
import { sameName } from "../same-name";
import { isNo, releasedAt } from "../verdicts";
import type { CommandArgs } from "../commands";
import { amend, type Change, type Effect, type Made, put } from "./change";

/** A yes of whoever writes it down frees nobody, not even until the server has refused it. */
const OWN_WORD: Change[] = [];

export const recordScreen: Effect<"record_screen"> = (
  { screen, shown_outcome, seen_screens: seen, ...told },
  made,
) => [
  put(
    "health_screen",
    screen,
    { ...told, seen, asked_rulebook: made.rulebook, ...judged(shown_outcome, made) },
    told.client,
  ),
  ...referralAtOnce(shown_outcome, { screen, check: null, client: told.client }, made),
];

export const recordFootCheck: Effect<"record_foot_check"> = (
  { check, shown_outcome, seen_checks: seen, ...told },
  made,
) => [
  put("foot_check", check, { ...told, seen, ...judged(shown_outcome, made) }, told.client),
  ...referralAtOnce(shown_outcome, { screen: null, check, client: told.client }, made),
];

export const markEnteredInError: Effect<"mark_entered_in_error"> = ({ what, row }) => [
  amend(what, row, { entered_in_error: true }),
  // One that is not the first of its record has an id of its own.
  {
    kind: "referral",
    id: null,
    scope: null,
    becomes: (letter) =>
      letter && [letter["screen"], letter["check"]].includes(row)
        ? { ...letter, entered_in_error: true }
        : letter,
  },
];

// The signature itself is evidence for the server; the phone works by the rest of the row.
export const signConsent: Effect<"sign_consent"> = ({ consent, strokes, ...signed }, made) => {
  const stands = { withdrawn_at: null, withdrawn_reason: "", staff: made.staff };
  const agreed = { purpose: "treatment", agreed: true } as const;
  return [put("consent", consent, { ...signed, ...stands, ...agreed }, signed.client)];
};

/** Each decision is a row of its own; see `consents.ts` for what a no does to an earlier yes. */
export const recordConsentSheet: Effect<"record_consent_sheet"> = (
  { decisions, decided_at, sheet, client, ...told },
  made,
) =>
  decisions.map(({ consent, text_id, text_hash, purpose, agreed }) => {
    const able = told.signer_role === "representative" || isAble(told.capacity);
    const row = {
      client,
      staff: made.staff,
      text_id,
      text_hash,
      purpose,
      agreed,
      counts: !agreed || able,
      sheet,
      signer_name: told.signer_name,
      signer_role: told.signer_role,
      ground: told.ground,
      authority: told.authority,
      witness: told.witness,
      presented: told.presented,
      own_wish: told.own_wish,
      how: told.how,
      language: told.language,
      said: told.said,
      signed_at: decided_at,
      withdrawn_at: null,
      withdrawn_reason: "",
    };
    const toWork = agreed && able && purpose === "treatment";
    return put(toWork ? "consent" : "consent_choice", consent, row, client);
  });

export const withdrawConsent: Effect<"withdraw_consent"> = ({ consent, withdrawn_at, reason }) => [
  amend("consent", consent, { withdrawn_at, withdrawn_reason: reason }),
  amend("consent_choice", consent, { withdrawn_at, withdrawn_reason: reason }),
];

const OPEN_FOR_MS = 60 * 60 * 1000;

/** How long it opens, the server says once it has it: until then as if it had it at once. */
export const offerSigning: Effect<"offer_signing"> = ({ offer, client, ...told }, made) => {
  const open_until = new Date(Date.parse(told.offered_at) + OPEN_FOR_MS).toISOString();
  const waits = { opened_at: null, answered_at: null, ended_at: null };
  const purposes = told.texts.map(({ purpose }) => purpose);
  const { offered_at } = told;
  const row = { client, staff: made.staff, offered_at, open_until, ...waits, purposes };
  return [put("signing_offer", offer, row, client)];
};

export const endSigning: Effect<"end_signing"> = ({ offer, ended_at }) => [
  amend("signing_offer", offer, (row) => ({ ended_at: row.ended_at ?? ended_at })),
];

export const recordReferralAnswer: Effect<"record_referral_answer"> = (
  { referral, ...answer },
  made,
) => {
  const { verdict = "may", ...last } = answer;
  if (!isNo({ verdict }) && sameName(last.clinician, made.name)) return OWN_WORD;
  const amended = amend("referral", referral, (row) => {
    const said = { ...last, verdict, recorded_at: made.at };
    const answers = [...answersOf(row).filter((each) => each.recorded_at !== made.at), said];
    return { ...last, answers, answer_recorded_at: releasedAt(answers) };
  });
  return [amended];
};

export const recordReferralStep: Effect<"record_referral_step"> = (
  { step: id, referral, ...done },
  made,
) => [
  amend("referral", referral, ({ steps = [] }) => ({
    steps: [...steps.filter((each) => each.id !== id), { ...done, id, staff: made.staff }],
  })),
];

export const recordClearance: Effect<"record_clearance"> = ({ clearance, ...given }, made) => {
  if (sameName(given.clinician, made.name)) return OWN_WORD;
  const stands = { withdrawn_at: null, withdrawn_reason: "", recorded_at: made.at };
  const row = { ...given, ...stands, limits: given.limits ?? null, staff: made.staff };
  return [put("clearance", clearance, row, given.client)];
};

// Two people may say so; the earlier one counts.
export const withdrawClearance: Effect<"withdraw_clearance"> = ({
  clearance,
  withdrawn_at,
  reason,
}) => [
  amend("clearance", clearance, (row) =>
    row.withdrawn_at && Date.parse(row.withdrawn_at) <= Date.parse(withdrawn_at)
      ? {}
      : { withdrawn_at, withdrawn_reason: reason },
  ),
];

function isAble(found: CommandArgs["record_consent_sheet"]["capacity"]): boolean {
  return [found.understands, found.keeps, found.weighs, found.says].every((one) => one === true);
}

function judged(outcome: Outcome, made: Made) {
  return { outcome, rulebook: made.rulebook, entered_in_error: false, staff: made.staff };
}

/**
 * A referral stands from the moment of the outcome, with no signal as well, and holds the work. So does a letter that
 * asks for a clearance, which the server takes back where one covers it.
 */
function referralAtOnce(
  level: Outcome,
  from: { client: Id; screen: Id | null; check: Id | null },
  made: Made,
): Change[] {
  const id = from.screen ?? from.check;
  if (id === null || level === "go" || level === "go_with_limits") return [];
  const unanswered = { answered_on: null, answer_recorded_at: null, answer: "", answers: [] };
  const nobody = {
    refer_to: "",
    within: "",
    reasons: [],
    asks: [],
    clinician: "",
    clinician_role: "",
  };
  const made_here = { staff: made.staff, made_at: made.at, entered_in_error: false };
  return [
    put("referral", id, { ...from, level, ...made_here, ...nobody, ...unanswered }, from.client),
  ];
}

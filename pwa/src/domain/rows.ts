/** The rows a phone keeps, by kind, as the feed projects them. Unknown fields are kept as they came. */
import type { Day, Id, Instant, Practice, Role } from "../wire/types";
import type { ClientCard, CommandArgs, Place } from "./commands";
import type { Answers, Finding, Outcome } from "./findings";

interface Judged {
  outcome: Outcome;
  rulebook: string;
  entered_in_error: boolean;
}

export interface Rows {
  practice: Practice;
  staff: { id: Id; name: string; email: string; role: Role };
  facility: { id: Id; name: string; address: string; phone: string };
  client: { id: Id; staff: Id[] } & ClientCard;
  health_screen: {
    id: Id;
    client: Id;
    answers: Answers;
    answered_by: string;
    answered_by_name: string;
    screened_at: Instant;
    shown_outcome: Outcome;
  } & Judged;
  foot_check: {
    id: Id;
    client: Id;
    screen: Id;
    answers: Answers;
    findings: Finding[];
    checked_at: Instant;
    shown_outcome: Outcome;
  } & Judged;
  referral: {
    id: Id;
    client: Id;
    screen: Id | null;
    check: Id | null;
    level: Outcome;
    refer_to: string | null;
    within: string | null;
    made_at: Instant;
    answered_on: Day | null;
    clinician: string;
    clinician_role: string;
    answer: string;
  };
  clearance: { id: Id } & Omit<CommandArgs["record_clearance"], "clearance">;
  consent: {
    id: Id;
    withdrawn_at: Instant | null;
    withdrawn_reason: string;
  } & Omit<CommandArgs["sign_consent"], "consent" | "strokes">;
  booking: {
    id: Id;
    client: Id;
    staff: Id;
    starts_at: Instant;
    minutes: number;
    place: Place;
    state: "booked" | "cancelled" | "done";
    cancel_reason: string;
  };
  visit: {
    id: Id;
    state: "started" | "completed" | "ended_early" | "under_review";
  } & Pick<CommandArgs["complete_visit"], keyof CommandArgs["start_visit"] & string> &
    Partial<CommandArgs["complete_visit"]>;
  incident: {
    id: Id;
    client: Id | null;
    visit: Id | null;
    code: string;
    state: "open" | "closed";
    note: string;
  };
}

export type RowKind = keyof Rows;
export type RowOf<K extends RowKind> = Rows[K];

export const ROW_KINDS = [
  "practice",
  "staff",
  "facility",
  "client",
  "health_screen",
  "foot_check",
  "referral",
  "clearance",
  "consent",
  "booking",
  "visit",
  "incident",
] as const satisfies readonly RowKind[];

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
  practice: Omit<Practice, "id"> & { place: string };
  staff: { name: string; role: Role; email: string; ended: boolean };
  device: { staff: Id; name: string; enrolled_at: Instant; revoked_at: Instant | null };
  facility: { name: string; address: string; phone: string };
  client: ClientCard;
  health_screen: Judged & {
    client: Id;
    answers: Answers;
    answered_by: string;
    answered_by_name: string;
    screened_at: Instant;
  };
  foot_check: Judged & {
    client: Id;
    screen: Id;
    answers: Answers;
    findings: Finding[];
    checked_at: Instant;
  };
  /** Has the id of the screen or foot check that made it. */
  referral: {
    client: Id;
    level: Outcome;
    refer_to: string | null;
    within: string | null;
    made_at: Instant;
    answered_on: Day | null;
    answered_at: Instant | null;
    clinician: string;
    clinician_role: string;
    answer: string;
  };
  clearance: Omit<CommandArgs["record_clearance"], "clearance">;
  consent: Omit<CommandArgs["sign_consent"], "consent" | "strokes"> & {
    withdrawn_at: Instant | null;
    withdrawn_reason: string;
  };
  booking: {
    client: Id;
    staff: Id;
    starts_at: Instant;
    minutes: number;
    place: Place;
    state: "booked" | "cancelled" | "done";
    cancel_reason: string;
  };
  visit: {
    state: "started" | "completed" | "ended_early" | "under_review";
  } & Omit<CommandArgs["start_visit"], "visit"> &
    Partial<Omit<CommandArgs["complete_visit"], "visit">>;
  incident: {
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
  "device",
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

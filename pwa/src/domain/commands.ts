/** The commands a phone may issue, with their arguments. What they do locally is in effects/. */
import type { Day, Id, Instant, Role } from "../wire/types";
import type { Answers, Finding, Outcome } from "./findings";

export interface ClientCard {
  name: string;
  born: Day;
  address: string;
  phone: string;
  email: string;
  facility: Id | null;
  room: string;
  contact_name: string;
  contact_phone: string;
  contact_role: string;
  decides_for_self: boolean;
  note: string;
}

export interface BitUse {
  family: string;
  head_mm: number;
  rpm: number;
  places: string[];
}

export interface SoftenerUse {
  product: string;
  urea_percent: number;
  placed_at: Instant;
  removed_at: Instant | null;
  places: string[];
}

export interface CrackMeasure {
  finding: string;
  foot: "left" | "right";
  region: string;
  length_mm: number | null;
  depth_mm: number | null;
  length_after_mm: number | null;
  depth_after_mm: number | null;
}

export interface StrokePoint {
  x: number;
  y: number;
  t: number;
}

export type SignerRole = "client" | "representative";
export type Presented = "read_self" | "read_aloud" | "large_print";
export type AnsweredBy = "client" | "family" | "care_staff";
export type Place = "home" | "facility";

/** Name of each command, and what it takes. */
export interface CommandArgs {
  register_client: { client: Id } & ClientCard;
  amend_client: { client: Id; seen: number; changes: Partial<ClientCard> };
  assign_client: { client: Id; staff: Id };
  unassign_client: { client: Id; staff: Id };
  register_facility: { facility: Id; name: string; address: string; phone: string };
  assign_facility: { facility: Id; staff: Id };
  register_staff: { staff: Id; name: string; email: string; role: Role };
  revoke_device: { device: Id };
  record_screen: {
    screen: Id;
    client: Id;
    answers: Answers;
    answered_by: AnsweredBy;
    answered_by_name: string;
    screened_at: Instant;
    shown_outcome: Outcome;
  };
  record_foot_check: {
    check: Id;
    client: Id;
    screen: Id;
    answers: Answers;
    findings: Finding[];
    checked_at: Instant;
    shown_outcome: Outcome;
  };
  mark_entered_in_error: { what: "health_screen" | "foot_check"; row: Id; reason: string };
  sign_consent: {
    consent: Id;
    client: Id;
    text_id: string;
    text_hash: string;
    signer_name: string;
    signer_role: SignerRole;
    authority: string;
    presented: Presented;
    own_wish: boolean;
    strokes: StrokePoint[][];
    signed_at: Instant;
  };
  withdraw_consent: { consent: Id; reason: string; withdrawn_at: Instant };
  record_referral_answer: {
    referral: Id;
    clinician: string;
    clinician_role: string;
    answered_on: Day;
    answer: string;
  };
  record_clearance: {
    clearance: Id;
    client: Id;
    clinician: string;
    clinician_role: string;
    given_on: Day;
    expires_on: Day;
    covers: string[];
    scope: string;
  };
  book_visit: {
    booking: Id;
    client: Id;
    staff: Id;
    starts_at: Instant;
    minutes: number;
    place: Place;
  };
  move_booking: { booking: Id; seen: number; starts_at: Instant; minutes: number; staff: Id };
  cancel_booking: { booking: Id; seen: number; reason: string };
  start_visit: {
    visit: Id;
    booking: Id;
    client: Id;
    screen: Id;
    check: Id;
    consent: Id;
    started_at: Instant;
  };
  complete_visit: {
    visit: Id;
    booking: Id;
    client: Id;
    screen: Id;
    check: Id;
    consent: Id;
    started_at: Instant;
    ended_at: Instant;
    ended_early: string;
    bits: BitUse[];
    softeners: SoftenerUse[];
    cracks: CrackMeasure[];
    stop_signs: string[];
    left_alone: string[];
    work_done: string[];
    note: string;
    aftercare: string[];
    weeks_until_next: number;
  };
  close_incident: { incident: Id; note: string };
}

export type CommandName = keyof CommandArgs;

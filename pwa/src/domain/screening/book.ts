/** The rulebook as the server sends it. Expressions come written out and checked; see docs/rulebook.md. */
import type { Purpose } from "../consents";
import type { Outcome } from "../findings";

export type Within = "now" | "same_day" | "one_working_day" | "days" | "weeks";
export type ReferTo = "emergency_services" | "foot_team" | "gp" | "specialist_nurse" | "pharmacist";
export type Basis = "published" | "published_secondary" | "common_practice" | "from_memory";
export type QuestionKind =
  "yes_no" | "choice" | "choices" | "number" | "date_known" | "touch_sites";

// Each from the least to the most strict.
export const WITHIN = ["weeks", "days", "one_working_day", "same_day", "now"] as const;
export const REFER_TO = [
  "pharmacist",
  "specialist_nurse",
  "gp",
  "foot_team",
  "emergency_services",
] as const;

interface Sourced {
  id: string;
  source: string;
  basis: Basis;
}

export interface Question {
  id: string;
  kind: QuestionKind;
  choices: string[];
  min: number | null;
  max: number | null;
  unit: string | null;
  ask_when: string | null;
  /** About today: an earlier answer is never confirmed. */
  each_time: boolean;
  /** The question about one leg or foot whose side this asks. Older books do not say. */
  side_of?: string | null;
}

export interface Group {
  id: string;
  part: "health" | "foot";
  asked_by: "anyone" | "technician";
  ask_when: string | null;
  must: boolean;
  each_time: boolean;
  questions: Question[];
}

export interface Rule extends Sourced {
  group: string;
  when: string;
  outcome: Outcome;
  refer_to: ReferTo | null;
  within: Within | null;
  limits: string[];
  /** Of a need for a clearance: what is found later on the same day may settle it. Older books do not say. */
  settled_later?: boolean;
  check_every_months: number[] | null;
  first_seen_weeks: number[] | null;
}

export interface Limit extends Sourced {
  bits_allowed: string[] | null;
  top_speed_m_s: number | null;
  max_rpm: Record<string, number>;
  no_bit_in_crack: boolean;
  no_blades: boolean;
  softener: "allowed" | "none";
  softener_max_percent: number | null;
  softener_min_minutes: number | null;
  softener_max_minutes: number | null;
  leave_alone: string[];
}

export interface Bit extends Sourced {
  usual_rpm: number;
  cutting: boolean;
  pointed: boolean;
  finish_with: string[];
}

export type Steriliser = "steam_gravity" | "steam_vacuum" | "dry_heat";
export type MachineKind = Steriliser | "ultrasonic";

/** A cycle of a machine, the least that is asked for. Of a product the time on its label counts. */
export interface Process extends Sourced {
  level: "sterilise" | "disinfect";
  machine: Steriliser;
  wrapped: boolean;
  celsius: number;
  minutes: number;
  /** The least and the most; null where only the maker of the machine says it. */
  dry_minutes: number[] | null;
  /** A chemical indicator must be read. */
  indicator: boolean;
}

export interface Instrument extends Sourced {
  needs: "sterilise" | "disinfect" | "single_use";
}

export interface Supply extends Sourced {
  /** For one client. */
  per_visit: number;
  /** Only where a bit was used, or nails were worked on. A book that came before does not say it of any. */
  only_with?: "bits" | "nails" | null;
}

export interface MachineCheck extends Sourced {
  machines: MachineKind[];
  every_days: number;
  /** One that failed casts doubt on every load since the last good one. */
  reaches_back: boolean;
}

export interface ChecklistItem extends Sourced {
  occasion:
    "before_leaving" | "on_arrival" | "between_clients" | "on_leaving" | "end_of_day" | "weekly";
  only_in: "home" | "facility" | null;
  /** Nothing of it is read, counted, timed or tested. A book that came before does not say it of any. */
  just_done?: boolean;
}

/** What a place counts its taxes in, and the month and day (MM-DD) on which its tax year begins. */
export interface Tax {
  year_starts: string;
  unit: DistanceUnit;
  currency: string;
}

export type DistanceUnit = "mile" | "km";
export type VehicleKind = "car" | "van" | "motorcycle" | "bicycle";

/** An official rate, from a day on; `counted_by` says what of a tax year its bands count together. */
export interface MileageRate extends Sourced {
  vehicles: VehicleKind[];
  from: string;
  until: string | null;
  counted_by: "person" | "vehicle";
  bands: { up_to: number | null; rate: string }[];
}

/** A book that came before the app was updated has no purposes: its text is for the work. */
export interface BookConsentText {
  id: string;
  purpose?: Purpose;
  version: number;
  current: boolean;
}

export interface BookJson {
  version: string;
  id: string;
  title: string;
  edition: string;
  overlay: string | null;
  /** The rules that the overlay of the place has added. Books of before do not say. */
  from_place?: string[];
  /** Digits to dial; not there in a book of before, null where the book does not know the place. */
  emergency_number?: string | null;
  settings: {
    screen_valid_hours: number;
    /** Older books do not say. */
    need_stays_hours?: number;
    entered_in_error_minutes: number;
    urea_minutes_min: number;
    urea_minutes_max: number;
    elderly_age: number;
    /** For how long an earlier answer may be confirmed instead of asked again. Books of before have none. */
    confirm_days?: number;
    /** How many days after it was given a clearance may last. Likewise. */
    clearance_days_max?: number;
    /** After how many days a consent is asked for anew, and for how many a health screen is a recent one. Likewise. */
    consent_renew_days?: number;
    screen_recent_days?: number;
    technician_checks_pulses: boolean;
    /** Of the kit, as its lists below. Books of before have none. */
    storage_days_wrapped?: number;
    storage_days_unwrapped?: number;
    solution_hours_max?: number;
    hand_rub_seconds?: number;
    hand_wash_seconds?: number;
    spare_percent?: number;
    soak_ml_per_set?: number;
  };
  groups: Group[];
  facts: { id: string; type: "bool" | "int" | "number"; from: string[] }[];
  conditions: { id: string; when: string }[];
  rules: Rule[];
  limits: Limit[];
  bits: Bit[];
  areas: string[];
  /** Books of before do not tell of hurt skin, here and below. */
  aftercare: (Sourced & {
    when: string | null;
    on_hurt_skin?: "as_usual" | "told" | "not_ticked";
  })[];
  stop_signs: (Sourced & { hurts_skin?: boolean })[];
  /** A book of before has none. */
  mishaps?: (Sourced & { ends_visit: boolean; hurts_skin?: boolean })[];
  consent_texts: BookConsentText[];
  intervals: (Sourced & { when: string; weeks: number })[];
  /** By which a drive is guessed. Books of before have none. */
  road_factors?: (Sourced & { percent: number })[];
  road_speeds?: (Sourced & RoadSpeed)[];
  processes?: Process[];
  instruments?: Instrument[];
  services?: Service[];
  supplies?: Supply[];
  machine_checks?: MachineCheck[];
  checklist_items?: ChecklistItem[];
  /** Of miles; books of before have none, and null where the book does not know the place. */
  tax?: Tax | null;
  mileage_rates?: MileageRate[];
  mileage_notes?: Sourced[];
  house_call_notes?: Sourced[];
  words: Record<string, Record<string, string>>;
}

/** What a visit is booked for. `for_new` is proposed for who has had no visit yet. */
export interface Service extends Sourced {
  id: string;
  minutes: number;
  for_new: boolean;
}

export interface RoadSpeed {
  /** Null: all that is left. */
  up_to_m: number | null;
  km_h: number;
}

/** What a drive is guessed by. */
export interface Travel {
  road_percent: number;
  speeds: readonly RoadSpeed[];
}

/** The place's own factor comes last and counts. Null from a book that does not say. */
export function travelOf({ road_factors, road_speeds }: BookJson): Travel | null {
  const factor = road_factors?.at(-1);
  if (factor === undefined || !road_speeds?.length) return null;
  return { road_percent: factor.percent, speeds: road_speeds };
}

const OWN = "own_";

/** Whether a practice has added this entry to the book. */
export function ofPractice(id: string): boolean {
  return id.startsWith(OWN);
}

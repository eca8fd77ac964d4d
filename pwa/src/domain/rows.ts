/** The rows a phone keeps, by kind, as the feed projects them. Unknown fields are kept as they came. */
import type { Role, WireRows } from "../wire/types";
import type { ClearanceLimits } from "./clearances";
import type { Purpose } from "./consents";
import type { CommandArgs, PhotoPurpose, Place, Presented, SignerRole } from "./commands";
import type { Answers, Finding, Outcome } from "./findings";
import type { Asked, End } from "./kit/loads";
import type { Step } from "./kit/standing";
import type { Answer } from "./referrals";

/** What a row of a consent has since there are sheets. */
type SinceSheets = { purpose: Purpose } & Pick<
  WireRows["consent"],
  "agreed" | "counts" | "sheet" | "ground" | "how" | "language" | "said"
>;

export type BookingState = "booked" | "cancelled" | "not_seen" | "done";

/** Fields of a row of which the app knows more than the schema says. */
interface Closer {
  /** Rows that came before the app was updated do not have them. */
  practice: Partial<
    Pick<
      WireRows["practice"],
      "own_rules" | "own_rules_fault" | "currency" | "tax_on_top" | "roads"
    >
  >;
  client: Partial<
    Pick<
      WireRows["client"],
      | ("status" | "status_since" | "merged" | "corridor" | "see_last" | "position")
      | ("visit_times" | "preferred_staff" | "may_wait" | "needs_skills" | "entry_note")
    >
  >;
  facility: Partial<Pick<WireRows["facility"], "quiet_times" | "corridors" | "position">>;
  staff: { role: Role };
  health_screen: { answers: Answers; outcome: Outcome; seen?: string[] } & Partial<
    Pick<WireRows["health_screen"], "from_screen" | "confirmed" | "asked_rulebook" | "asks">
  >;
  foot_check: {
    answers: Answers;
    outcome: Outcome;
    findings: Finding[];
    gone?: string[];
    asks?: string[];
  };
  /** Made on this phone, it has the id of the screen or foot check that made it. */
  referral: { level: Outcome; answers?: Answer[] } & Partial<
    Pick<WireRows["referral"], "steps" | "asks">
  >;
  clearance: Partial<
    Pick<
      WireRows["clearance"],
      "recorded_at" | "withdrawn_at" | "withdrawn_reason" | "evidence_photo" | "evidence_note"
    >
  > & { limits?: ClearanceLimits | null };
  /** Every yes to the work. Rows that came before the app was updated have no purpose. */
  consent: { signer_role: SignerRole; presented: Presented } & Partial<SinceSheets>;
  /** Every no, and every yes to anything else. */
  consent_choice: { signer_role: SignerRole; presented: Presented } & SinceSheets;
  photo: { purpose: PhotoPurpose };
  kit_thing: { steps: Step[] };
  kit_load: {
    asked: Asked | null;
    ends: (WireRows["kit_load"]["ends"][number] & Pick<End, "indicator">)[];
  };
  booking: { place: Place; state: BookingState } & Partial<
    Pick<WireRows["booking"], "service" | "reason" | "series" | "round" | "place_in_round">
  >;
  /** A coordinator is not told the note. */
  waiting: { state: "waiting" | "stopped" } & Partial<Pick<WireRows["waiting"], "note">>;
  /** Issued on this phone, it has no number until the server gives it one. */
  invoice: { number: number | null };
  round: { state: "planned" | "closed" | "cancelled" };
  /** `record` is empty until the visit has ended. */
  visit: {
    state: "started" | "completed" | "ended_early" | "under_review";
    record: Partial<CommandArgs["complete_visit"]>;
  };
}

export type RowKind = keyof WireRows;

export type RowOf<K extends RowKind> = K extends keyof Closer
  ? Omit<WireRows[K], keyof Closer[K]> & Closer[K]
  : WireRows[K];

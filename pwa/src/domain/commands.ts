/** The commands a phone may issue, with their arguments. What they do locally is in effects/. */
import type { WireCommands, WireRows } from "../wire/types";
import type { Answers, Finding } from "./findings";

type Card = Omit<WireCommands["register_client"], "client">;
export type CardStatus = Card["status"];
/** Cards that wait in the outbox of an app of before do not have all of it. */
type SinceCards =
  | ("status" | "status_since" | "corridor" | "see_last" | "position")
  | ("visit_times" | "preferred_staff" | "may_wait" | "needs_skills" | "entry_note");
export type ClientCard = Omit<Card, SinceCards> & Partial<Pick<Card, SinceCards>>;
export type FacilityCard = Pick<
  WireRows["facility"],
  "name" | "address" | "phone" | "quiet_times" | "corridors"
> &
  Partial<Pick<WireRows["facility"], "position">>;
export type QuietTime = FacilityCard["quiet_times"][number];

/** As the server's schema has them, where that cannot say it as closely as the app needs. */
interface Closer {
  register_client: ClientCard & Pick<WireCommands["register_client"], "client">;
  register_facility: Optional<"register_facility", "position">;
  /** A field that is left out is left as it is; null is a value. */
  amend_client: Omit<WireCommands["amend_client"], "changes"> & { changes: Partial<ClientCard> };
  amend_facility: Omit<WireCommands["amend_facility"], "changes"> & {
    changes: Partial<FacilityCard>;
  };
  /** Screens that wait in the outbox of an app of before say nothing of what was confirmed. */
  record_screen: Omit<WireCommands["record_screen"], "answers" | "confirmed" | "from_screen"> & {
    answers: Answers;
  } & Partial<Pick<WireCommands["record_screen"], "confirmed" | "from_screen">>;
  record_foot_check: Omit<Optional<"record_foot_check", "gone">, "answers" | "findings"> & {
    answers: Answers;
    findings: Finding[];
  };
  record_referral_answer: Optional<"record_referral_answer", "verdict">;
  book_visit: Optional<"book_visit", "service" | "meant">;
  move_booking: Optional<"move_booking", "meant">;
  cancel_booking: Optional<"cancel_booking", "code">;
  /** Coordinators have no note. */
  wait_for_visit: Optional<"wait_for_visit", "note">;
  complete_visit: Optional<"complete_visit", "kit">;
  report_mishap: Optional<"report_mishap", "visit_stopped">;
  record_clearance: Optional<"record_clearance", "limits" | "evidence_photo" | "evidence_note">;
}

/** Commands that were saved before the app knew of an argument do not have it. */
type Optional<N extends keyof WireCommands, A extends keyof WireCommands[N]> = Omit<
  WireCommands[N],
  A
> &
  Partial<Pick<WireCommands[N], A>>;

/** Name of each command, and what it takes. */
export type CommandArgs = Omit<WireCommands, keyof Closer> & Closer;
export type CommandName = keyof CommandArgs;

export type KitUsed = WireCommands["complete_visit"]["kit"];
export type UsedSet = KitUsed["sets"][number];
export type BitUse = CommandArgs["complete_visit"]["bits"][number];
export type SoftenerUse = CommandArgs["complete_visit"]["softeners"][number];
export type CrackMeasure = CommandArgs["complete_visit"]["cracks"][number];
export type StrokePoint = CommandArgs["sign_consent"]["strokes"][number][number];
export type SignerRole = CommandArgs["sign_consent"]["signer_role"];
export type Presented = CommandArgs["sign_consent"]["presented"];
export type AnsweredBy = CommandArgs["record_screen"]["answered_by"];
export type Place = CommandArgs["book_visit"]["place"];
export type CancelCode = Exclude<WireCommands["cancel_booking"]["code"], "">;
export type NotSeenCode = WireCommands["record_not_seen"]["code"];
export type Verdict = WireCommands["record_referral_answer"]["verdict"];
export type ReferralStep = CommandArgs["record_referral_step"];
export type PhotoPurpose = CommandArgs["record_photo"]["purpose"];

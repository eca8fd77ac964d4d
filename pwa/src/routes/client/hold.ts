/** What holds a client, to be said wherever a visit to them is planned. */
import { answersOf, refersOn } from "../../domain/referrals";
import type { StandingReason } from "../../domain/standing";
import { refused } from "../../domain/verdicts";
import type { Held } from "../../store";
import type { ClientFile } from "./file";

export interface Hold {
  reason:
    "clinician_said_no" | "referral_unanswered" | "emergency" | "refer_first" | "needs_clearance";
  /** The letter by which it is lifted, where there is one. */
  letter: Held<"referral"> | undefined;
}

type Facts = Pick<ClientFile, "standing" | "waiting">;

/** The strictest, whatever is still to be asked and looked at. Null where no clinician's word is missing. */
export function holdOf({ standing: { reasons }, waiting }: Facts): Hold | null {
  const has = (reason: StandingReason) => reasons.includes(reason);
  if (has("clinician_said_no")) {
    return {
      reason: "clinician_said_no",
      letter: waiting.find(({ row }) => refused(answersOf(row))),
    };
  }
  const referral = waiting.find(refersOn);
  if (referral) return { reason: "referral_unanswered", letter: referral };
  // Once it is answered, asking anew is all that is missing.
  if (!has("screen_before_answer")) {
    const reason = (["emergency", "refer_first"] as const).find(has);
    if (reason) return { reason, letter: undefined };
  }
  const [letter] = waiting;
  return letter || has("needs_clearance") ? { reason: "needs_clearance", letter } : null;
}

/** Which of the reasons why work may not start are said, in the order in which to deal with them. */
import type { StandingReason } from "../../domain/standing";

/** While somebody else must see the client, nothing else is worth doing, and nothing else would help. */
const ALONE: readonly StandingReason[] = [
  "clinician_said_no",
  "referral_unanswered",
  "emergency",
  "refer_first",
];
/** What rests on the questions that a clinician has answered. Asking them again is the one way on. */
const ANSWERED: readonly StandingReason[] = [
  "emergency",
  "refer_first",
  "no_screen",
  "screen_not_current",
];

export function answered(reasons: readonly StandingReason[]): boolean {
  return reasons.includes("screen_before_answer");
}

export function toDeal(reasons: readonly StandingReason[]): readonly StandingReason[] {
  if (answered(reasons)) return inOrder(reasons.filter((reason) => !ANSWERED.includes(reason)));
  const alone = ALONE.find((reason) => reasons.includes(reason));
  return alone === undefined ? inOrder(reasons) : [alone];
}

/** A clinician first: the rest may wait for their word. Of feet that nobody saw, no answer is merely missing. */
function inOrder(reasons: readonly StandingReason[]): StandingReason[] {
  const said = reasons.includes("no_foot_check")
    ? reasons.filter((reason) => reason !== "questions_open")
    : reasons;
  const first = said.filter((reason) => reason === "needs_clearance");
  return [...first, ...said.filter((reason) => reason !== "needs_clearance")];
}

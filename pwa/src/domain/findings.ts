/** What is answered about a client and seen on a foot. How it is judged is in screening/. */
import type { WireCommands } from "../wire/types";

export type Outcome = WireCommands["record_screen"]["shown_outcome"];

/** In order of weight: a later one wins. */
export const OUTCOMES = [
  "go",
  "go_with_limits",
  "needs_clearance",
  "refer_first",
  "emergency",
] as const satisfies readonly Outcome[];

export function weight(outcome: Outcome): number {
  return OUTCOMES.indexOf(outcome);
}

/** Whether a clinician's word is needed before the work. */
export function holds(outcome: Outcome): boolean {
  return weight(outcome) >= weight("needs_clearance");
}

/** Whether somebody must see the client first. */
export function refers(outcome: Outcome): outcome is "refer_first" | "emergency" {
  return weight(outcome) >= weight("refer_first");
}

/** "dont_know" is an answer of its own, and is unbound in the rules just as a missing key is. */
export type Answer = boolean | number | string | string[];
export type Answers = Record<string, Answer>;

type Seen = WireCommands["record_foot_check"]["findings"][number];
type Later = "follows" | "looked";
/**
 * `follows` is the same thing in an earlier check, and `looked` is false where nobody looked for it again; what was
 * kept before the app knew of them has neither.
 */
export type Finding = Omit<Seen, Later> & Partial<Pick<Seen, Later>>;

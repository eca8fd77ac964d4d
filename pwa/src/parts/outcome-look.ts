/** The sign and tone of each outcome; its word always stands beside them. */
import { type Outcome, refers } from "../domain/findings";
import type { Judgement } from "../domain/screening";
import type { Standing } from "../domain/standing";
import type { MessageKey } from "../words";
import type { IconName } from "./icons";

type Tone = "go" | "info" | "limit" | "stop";
type Kind = "ok" | "info" | "limit" | "stop" | "emergency";

export const LOOK: Record<Outcome, { icon: IconName; tone: Tone; kind: Kind }> = {
  go: { icon: "ok", tone: "go", kind: "ok" },
  go_with_limits: { icon: "info", tone: "info", kind: "info" },
  needs_clearance: { icon: "wait", tone: "limit", kind: "limit" },
  refer_first: { icon: "stop", tone: "stop", kind: "stop" },
  emergency: { icon: "alarm", tone: "stop", kind: "emergency" },
};

/** Whether a clinician's clearance covers everything that asked for one. */
export function cleared(outcome: Outcome, standing: Standing): boolean {
  return outcome === "needs_clearance" && !standing.reasons.includes("needs_clearance");
}

export function outcomeWord(outcome: Outcome, standing: Standing): MessageKey {
  return cleared(outcome, standing) ? "outcome.cleared" : `outcome.${outcome}`;
}

export function meaning(outcome: Outcome, standing: Standing): MessageKey {
  return cleared(outcome, standing) ? "outcome.cleared_means" : `outcome.means.${outcome}`;
}

/** Whether today's answers would let the work go on while an earlier referral holds it. */
export function referralWaits(outcome: Outcome, standing: Standing): boolean {
  const waits = ["referral_unanswered", "clinician_said_no"] as const;
  return waits.some((reason) => standing.reasons.includes(reason)) && !refers(outcome);
}

/**
 * What is said of the work in one word: that a referral waits, that answers are missing, that something else is,
 * or the outcome itself. A "go" is said only where the work may start.
 */
export function saying(
  { outcome, held }: Pick<Judgement, "outcome" | "held">,
  standing: Standing,
): "waits" | "held" | "lacking" | "outcome" {
  if (referralWaits(outcome, standing)) return "waits";
  const goes = outcome === "go" || outcome === "go_with_limits";
  if (!goes && !cleared(outcome, standing)) return "outcome";
  if (goes && held) return "held";
  return standing.reasons.length > 0 ? "lacking" : "outcome";
}

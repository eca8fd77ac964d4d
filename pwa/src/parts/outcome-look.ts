/** The sign and tone of each outcome; its word always stands beside them. */
import type { Outcome } from "../domain/findings";
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

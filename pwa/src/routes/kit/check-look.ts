/** How the state of a machine's check looks. */
import type { CheckState } from "../../domain/kit/due-checks";

export const CHECK_LOOK = {
  never: { icon: "limit", tone: "limit" },
  failed: { icon: "stop", tone: "stop" },
  overdue: { icon: "limit", tone: "limit" },
  due: { icon: "clock", tone: "info" },
  in_time: { icon: "ok", tone: "go" },
} as const satisfies Record<CheckState, { icon: string; tone: string }>;

/** Whether a day lies outside the first and the last day that a field takes. */
import type { Day } from "../wire/types";

export function outOfRange(
  day: Day,
  min: Day | undefined,
  max: Day | undefined,
): "too_early" | "too_late" | null {
  if (day && min && day < min) return "too_early";
  return day && max && day > max ? "too_late" : null;
}

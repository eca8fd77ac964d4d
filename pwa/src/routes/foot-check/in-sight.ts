/** The feet that there are to look at: neither absent nor kept covered. What is not answered yet may be in sight. */
import type { Answers } from "../../domain/findings";
import { FEET, type Foot } from "../../parts/foot/regions";

const OUT_OF_SIGHT: readonly unknown[] = ["no_foot", "no_leg", "not_shown"];

export function inSight(answers: Answers): Foot[] {
  return FEET.filter((foot) => !OUT_OF_SIGHT.includes(answers[`${foot}_foot_seen`]));
}

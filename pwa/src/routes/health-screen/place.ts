/** Where the health questions stand, in the client's hand and in the technician's. */
import type { Answers } from "../../domain/findings";
import { waiting, type Step } from "../../parts/questions/steps";

export const END = "end";
/** The client has had their part, and the phone is on its way back. */
export const GIVEN_BACK = "given_back";

/** The last page is the technician's. After the client's part they are led to what
 * is open, and else through their own questions once more. */
export function placeOf(
  at: string,
  steps: readonly Step[],
  answers: Answers,
  handed: boolean,
): string {
  if (handed) return at === END ? (steps[0]?.id ?? GIVEN_BACK) : at;
  if (at !== GIVEN_BACK) return at;
  const open = steps.find((step) => waiting(step, answers).length > 0);
  const own = steps.find((step) => step.asked_by === "technician");
  return (open ?? own)?.id ?? END;
}

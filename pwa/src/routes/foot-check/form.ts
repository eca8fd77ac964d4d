/** The foot check as it is being done. */
import type { Answers, Finding } from "../../domain/findings";

export interface FeetForm {
  answers: Answers;
  findings: Finding[];
  /** The step on screen. */
  at: string;
}

export function blankFeet(): FeetForm {
  return { answers: {}, findings: [], at: "" };
}

/** The foot check as it is being done. */
import type { Answers, Finding } from "../../domain/findings";

export interface FeetForm {
  answers: Answers;
  findings: Finding[];
  /** The step on screen. */
  at: string;
  /** Whether it is known yet what was on this phone when the look began. */
  begun: boolean;
  /** The foot checks that were. */
  seen: string[];
}

export function blankFeet(): FeetForm {
  return { answers: {}, findings: [], at: "", begun: false, seen: [] };
}

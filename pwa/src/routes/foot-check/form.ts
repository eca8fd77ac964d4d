/** The foot check as it is being done. */
import type { Answers, Finding } from "../../domain/findings";

export interface FeetForm {
  answers: Answers;
  findings: Finding[];
  /** Findings of before that are no longer there. Drafts of older apps have none. */
  gone?: string[];
  /** The parts of the map that were looked at. */
  looked?: string[];
  /** The step on screen. */
  at: string;
  /** Whether it is known yet what was on this phone when the look began. */
  begun: boolean;
  /** The foot checks that were. */
  seen: string[];
}

export function blankFeet(): FeetForm {
  return { answers: {}, findings: [], gone: [], looked: [], at: "", begun: false, seen: [] };
}

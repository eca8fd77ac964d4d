/** The health questions as they are being answered. */
import type { AnsweredBy } from "../../domain/commands";
import type { Answers } from "../../domain/findings";

export interface ScreenForm {
  answers: Answers;
  answered_by: AnsweredBy;
  answered_by_name: string;
  /** The group on screen. */
  at: string;
  /** Whether the answers that are on record today have been brought in. */
  begun: boolean;
}

export function blankScreen(): ScreenForm {
  return { answers: {}, answered_by: "client", answered_by_name: "", at: "", begun: false };
}

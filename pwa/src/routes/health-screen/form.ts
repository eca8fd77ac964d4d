/** The health questions as they are being answered. */
import type { AnsweredBy } from "../../domain/commands";
import type { Told } from "../../domain/screening";

export interface ScreenForm extends Told {
  confirmed: string[];
  opened: string[];
  /** The screen whose answers may be confirmed, as of the last look. */
  from: string | null;
  /** The day on which they began to be answered, in the practice's zone. */
  day: string;
  /** Null until somebody has said so. */
  answered_by: AnsweredBy | null;
  answered_by_name: string;
  /** What is on screen: a group, or a place that place.ts names. */
  at: string;
  /** Whether the answers that are on record today have been brought in. */
  begun: boolean;
  /** The screens that were on this phone when the asking began. */
  seen: string[];
}

export function blankScreen(): ScreenForm {
  return {
    answers: {},
    confirmed: [],
    opened: [],
    from: null,
    day: "",
    answered_by: null,
    answered_by_name: "",
    at: "",
    begun: false,
    seen: [],
  };
}

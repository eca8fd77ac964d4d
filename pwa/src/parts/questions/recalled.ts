/** Earlier answers on the page of a group: what they were, and what a tap does with them. */
import type { SaidBefore, Told } from "../../domain/screening";

export interface Recalled {
  said: SaidBefore;
  told: Told;
  /** When they were given, and by whom. */
  line: string;
  onconfirm: (questions: string[]) => void;
  onopen: (question: string) => void;
  onrecall: (question: string) => void;
}

/** A checklist as it is ticked. */
import type { Told, Where } from "../../domain/kit/checklists";
import type { Instant } from "../../wire/types";

export interface ChecklistForm {
  where: Where | null;
  told: Record<string, Told>;
  note: string;
  /** When the hands began to be rubbed or washed, and for how long they are. */
  hands: { began: Instant; seconds: number } | null;
}

export function blankChecklist(): ChecklistForm {
  return { where: null, told: {}, note: "", hands: null };
}

/** A checklist as it is ticked. */
import type { Timed } from "../../domain/timed";
import type { Told, Where } from "../../domain/kit/checklists";

export interface ChecklistForm {
  where: Where | null;
  told: Record<string, Told>;
  note: string;
  /** The hands that are rubbed or washed. */
  hands: Timed | null;
  /** The surfaces that stay wet. */
  wet: Timed | null;
}

export function blankChecklist(): ChecklistForm {
  return { where: null, told: {}, note: "", hands: null, wet: null };
}

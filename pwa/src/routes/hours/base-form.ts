/** Where somebody's days begin and end, as a form. */
import type { Position } from "../../domain/places/position";

export interface BaseForm {
  position: Position | null;
  /** Once it holds what is known, or what was refused. */
  begun: boolean;
  /** The version that it began with; null for the one that stands when it is saved. */
  seen: number | null;
}

export function blankBase(): BaseForm {
  return { position: null, begun: false, seen: null };
}

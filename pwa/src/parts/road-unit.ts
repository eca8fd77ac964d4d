/** In what a country's roads are measured, by the rulebook of the practice's place. */
import type { BookJson } from "../domain/screening";
import type { RulebookBody } from "../wire/types";

export function roadUnit(rulebook: RulebookBody | null) {
  return (rulebook as unknown as BookJson | null)?.tax?.unit;
}

/** What can be seen at a place of the foot map, the commonest of that place first. */
import { FINDING_KINDS } from "../../domain/screening/facts";
import { TOE_GONE } from "../../domain/screening/touch";

const OF_NAILS: readonly string[] = ["nail_thick", "nail_fungus_signs", "nail_ingrown"];
const OF_TOES: readonly string[] = [...OF_NAILS, TOE_GONE];

export function kindsAt(region: string): string[] {
  const skin = FINDING_KINDS.filter((kind) => !OF_TOES.includes(kind));
  if (region.startsWith("toe_")) return [...OF_NAILS, ...skin, TOE_GONE];
  if (region.startsWith("between_")) return first(skin, "maceration");
  return skin;
}

function first(kinds: readonly string[], one: string): string[] {
  return [one, ...kinds.filter((kind) => kind !== one)];
}

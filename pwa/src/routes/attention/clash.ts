/** Where a refused change of a card and the card as it is now say different things. */
import type { ClientCard } from "../../domain/commands";
import { CARD_FIELDS } from "../client/card-form";

export function clashing(
  wrote: Partial<ClientCard>,
  now: ClientCard,
): (typeof CARD_FIELDS)[number][] {
  return CARD_FIELDS.filter((field) => field in wrote && wrote[field] !== now[field]);
}

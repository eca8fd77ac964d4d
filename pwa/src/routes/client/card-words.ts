/** What each field of the card is called on screen. */
import type { ClientCard } from "../../domain/commands";
import type { MessageKey } from "../../words";

export const LABELS: Record<keyof ClientCard, MessageKey> = {
  name: "card.name",
  born: "card.born",
  address: "card.address",
  phone: "card.phone",
  email: "card.email",
  facility: "card.lives",
  room: "card.room",
  contact_name: "card.contact_name",
  contact_phone: "card.contact_phone",
  contact_role: "card.contact_role",
  decides_for_self: "card.decides",
  note: "card.note",
  status: "card.status",
  status_since: "card.status_since",
};

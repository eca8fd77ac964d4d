/** What each field of the card is called on screen, and how its value reads. */
import type { ClientCard } from "../../domain/commands";
import { positionWords } from "../../parts/places/position-words";
import type { Held } from "../../store";
import { t, type MessageKey } from "../../words";
import { date } from "../../words/format";

export const LABELS: Record<keyof ClientCard, MessageKey> = {
  name: "card.name",
  born: "card.born",
  address: "card.address",
  position: "card.position",
  phone: "card.phone",
  email: "card.email",
  facility: "card.lives",
  room: "card.room",
  corridor: "card.corridor",
  see_last: "card.see_last",
  contact_name: "card.contact_name",
  contact_phone: "card.contact_phone",
  contact_role: "card.contact_role",
  decides_for_self: "card.decides",
  note: "card.note",
  status: "card.status",
  status_since: "card.status_since",
};

export function cardValue(
  field: keyof ClientCard,
  card: Partial<ClientCard>,
  facilities: readonly Held<"facility">[],
): string {
  if (field === "facility") {
    const home = facilities.find(({ id }) => id === card.facility);
    return home?.row.name ?? t("card.own_home");
  }
  if (field === "decides_for_self")
    return card.decides_for_self ? t("card.decides_self") : t("card.decides_other");
  if (field === "see_last") return card.see_last ? t("card.see_last_yes") : t("card.see_last_no");
  if (field === "status") return t(`card.status.${card.status ?? "active"}`);
  if (field === "position") return positionWords(card.position);
  const value = card[field] ?? "";
  if (value === "") return t("card.empty");
  return field === "born" || field === "status_since" ? date(value) : value;
}

/** What each field of the card is called on screen, and how its value reads. */
import type { ClientCard } from "../../domain/commands";
import { positionWords } from "../../parts/places/position-words";
import type { Held } from "../../store";
import { t, type MessageKey } from "../../words";
import { date, list, wallTime, weekday } from "../../words/format";

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
  entry_note: "card.entry_note",
  status: "card.status",
  status_since: "card.status_since",
  visit_times: "card.visit_times",
  preferred_staff: "card.preferred_staff",
  may_wait: "card.may_wait",
  needs_skills: "card.needs_skills",
};

export function cardValue(
  field: keyof ClientCard,
  card: Partial<ClientCard>,
  facilities: readonly Held<"facility">[],
  people: readonly Held<"staff">[],
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
  if (field === "may_wait") return card.may_wait ? t("card.may_wait_yes") : t("card.may_wait_no");
  if (field === "needs_skills") return list(card.needs_skills ?? []) || t("card.empty");
  if (field === "visit_times") return timesOf(card) || t("card.visit_times_any");
  if (field === "preferred_staff")
    return people.find(({ id }) => id === card.preferred_staff)?.row.name ?? t("card.empty");
  const value = card[field] ?? "";
  if (value === "") return t("card.empty");
  return field === "born" || field === "status_since" ? date(value) : value;
}

export function timesOf({ visit_times }: Partial<ClientCard>): string {
  const lines = (visit_times ?? []).map(({ weekday: day, starts, ends }) =>
    t("card.visit_time", {
      day: weekday(day),
      starts: wallTime(starts),
      ends: wallTime(ends),
    }),
  );
  return lines.join("\n");
}

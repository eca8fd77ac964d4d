/** What a column of a file of residents is called on screen, and what a line says there. */
import type { ClientCard } from "../../domain/commands";
import type { Held } from "../../store";
import { t } from "../../words";
import { cardValue, LABELS } from "../client/card-words";

/** What a line of the file says of a card, field by field. */
export type Given = Readonly<Record<string, string | boolean>>;

export function fieldName(field: string): string {
  const labels: Readonly<Record<string, (typeof LABELS)[keyof typeof LABELS]>> = LABELS;
  const key = labels[field];
  return key ? t(key) : field;
}

/** Each value as the card shows it, with what stands there until now. A new card's name is said before. */
export function valuesOf(given: Given, before: Held<"client">["row"] | undefined): string[] {
  const fields = Object.keys(given).filter((field) => before !== undefined || field !== "name");
  return fields.map((field) => {
    const named = { field: fieldName(field), value: valueIn(given, field) };
    return before
      ? t("take_in.was", { ...named, before: valueIn(before, field) })
      : t("take_in.value", named);
  });
}

function valueIn(card: object, field: string): string {
  return cardValue(field as keyof ClientCard, card, [], []);
}

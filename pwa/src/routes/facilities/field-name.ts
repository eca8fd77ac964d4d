/** What a column of a file of residents is called on screen. */
import { LABELS } from "../client/card-words";
import { t } from "../../words";

export function fieldName(field: string): string {
  const labels: Readonly<Record<string, (typeof LABELS)[keyof typeof LABELS]>> = LABELS;
  const key = labels[field];
  return key ? t(key) : field;
}

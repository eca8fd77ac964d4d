/** Who answered a screen, in words. */
import type { RowOf } from "../../domain/rows";
import { t } from "../../words";
import { dayAndTime } from "../../words/format";

type Told = Pick<RowOf<"health_screen">, "answered_by" | "answered_by_name" | "screened_at">;

/** `handed`: the client reads it. */
export function saidBy({ answered_by, answered_by_name: name }: Told, handed = false): string {
  if (answered_by === "client") return t(handed ? "said_by.you" : "said_by.client");
  return t(answered_by === "family" ? "said_by.family" : "said_by.care_staff", { name });
}

export function saidLine(row: Told, handed: boolean): string {
  return t("still.line", { at: dayAndTime(row.screened_at), who: saidBy(row, handed) });
}

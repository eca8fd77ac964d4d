/** How a visit stands, in words. */
import type { RowOf } from "../../domain/rows";
import { t } from "../../words";

/** Also while it is under review, which its state says instead. */
export function endedEarly({ state, record }: RowOf<"visit">): boolean {
  return state === "ended_early" || (record.ended_early ?? "") !== "";
}

export function visitWord(visit: RowOf<"visit">): string {
  const word = t(`visit.state.${visit.state}`);
  const both = visit.state === "under_review" && endedEarly(visit);
  return both ? t("visit.early_and", { state: word }) : word;
}

/** Where a referral has got to, in words. */
import { dueOn, isOverdue } from "../../domain/due";
import { refersOn } from "../../domain/referrals";
import type { RowOf } from "../../domain/rows";
import { t } from "../../words";
import { dayAndTime, dayKey, dueDate } from "../../words/format";
import { named, referToWord, withinWord } from "../../words/named";

type Referral = RowOf<"referral">;
type Step = NonNullable<Referral["steps"]>[number];

export function stepWords({ what, how, to }: Step): string {
  const done = named("referral.what", what);
  const way = how === "" ? done : `${done}: ${named("referral.how", how)}`;
  return to === "" ? way : t("referral.step_to", { done: way, to });
}

export function overdue({ made_at, within }: Referral, today: string): boolean {
  return isOverdue(dayKey(made_at), within, today);
}

/** The last day for an answer, as every place that names it writes it. */
export function dueDay({ made_at, within }: Pick<Referral, "made_at" | "within">): string {
  return dueDate(dueOn(dayKey(made_at), within));
}

/** How urgent, with the day that it comes to. */
export function urgencyWords(row: Pick<Referral, "made_at" | "within">): string {
  const within = withinWord(row.within);
  if (row.within === "now") return within;
  const key = row.within === "same_day" ? "letter.within_on" : "letter.within_by";
  return t(key, { within, due: dueDay(row) });
}

export function madeWords(row: Referral): string {
  const at = dayAndTime(row.made_at);
  return t(refersOn({ row }) ? "history.referral" : "history.clearance_asked", { at });
}

/** Since when, how urgent, to whom, and how far it has come. */
export function wayWords(row: Referral): string[] {
  const steps = row.steps ?? [];
  const last = (what: string) => steps.findLast((step) => step.what === what);
  const [printed, handed, acknowledged] = ["printed", "handed_over", "acknowledged"].map(last);
  const sent = handed ?? printed;
  return [
    madeWords(row),
    row.refer_to && row.within
      ? t("outcome.refer", { to: referToWord(row.refer_to), within: urgencyWords(row) })
      : "",
    sent
      ? t("referral.done_at", { done: stepWords(sent), at: dayAndTime(sent.done_at) })
      : t("referral.not_sent"),
    acknowledged
      ? t("referral.done_at", {
          done: stepWords(acknowledged),
          at: dayAndTime(acknowledged.done_at),
        })
      : t("referral.not_acknowledged"),
  ].filter((line) => line !== "");
}

/** By when an answer is due, and what to do where there is none. */
export function dueWords(row: Referral, today: string): string {
  if (row.within === "now") return t("referral.ask_now");
  const due = dueDay(row);
  return overdue(row, today) ? t("referral.overdue", { due }) : t("referral.due", { due });
}

/** A visit that repeats, as the form has it: its rule, its days, and how it is said in plain words. */
import { daysOf, nthOf, type Repeat, ruleOf } from "../../domain/schedule/repeats";
import { weekdayOf } from "../../domain/schedule/objections";
import type { Day } from "../../wire/types";
import { t } from "../../words";
import { date, wallTime, weekday } from "../../words/format";

export interface RepeatForm {
  /** Empty for a visit that does not repeat. */
  unit: "" | Repeat["unit"];
  every: number | null;
  ends: "times" | "until";
  times: number | null;
  until: Day;
  left_out: Day[];
}

const USUAL_WEEKS = 6;
/** As far apart as visits may be. */
export const MOST_APART = { week: 52, month: 24 };

/** How far apart visits are before anybody says so: by the weeks that were said at the last sign-off. */
export function usuallyEvery(unit: RepeatForm["unit"], weeks: number | null): number {
  const apart = weeks ?? USUAL_WEEKS;
  return unit === "month" ? Math.max(1, Math.round(apart / 4)) : apart;
}

export function blankRepeat(): RepeatForm {
  return { unit: "", every: USUAL_WEEKS, ends: "times", times: 8, until: "", left_out: [] };
}

/** Null while something is missing. */
function filledIn({ unit, every, ends, times, until }: RepeatForm): Repeat | null {
  if (unit === "" || every === null) return null;
  if (ends === "times") return times === null ? null : { every, unit, ends: { times } };
  return until === "" ? null : { every, unit, ends: { until } };
}

/** With no days where it is not filled in, ends before it begins, or has more than a series may. */
export function repeated(form: RepeatForm, first: Day): { rule: string; days: Day[] } {
  const repeat = filledIn(form);
  if (repeat === null || first === "") return { rule: "", days: [] };
  const rule = ruleOf(repeat, first);
  return { rule, days: daysOf(rule, first) ?? [] };
}

export function inWords(form: RepeatForm, first: Day, clock: string): string {
  const repeat = filledIn(form);
  if (repeat === null || first === "" || clock === "") return "";
  const { every: count, unit, ends } = repeat;
  const on = { count, weekday: weekday(weekdayOf(first)), clock: wallTime(clock) };
  const nth = t(`booking.nth.${nthOf(first) as 1 | 2 | 3 | 4 | -1}`);
  const how =
    unit === "week"
      ? t("booking.repeat_weeks", on)
      : t("booking.repeat_months", { ...on, which: nth });
  const end =
    "times" in ends
      ? t("booking.repeat_times", { count: ends.times })
      : t("booking.repeat_until", { day: date(ends.until) });
  return t("booking.repeat_says", { how, end });
}

/** As it was, of a rule that was sent. */
export function repeatOf(rule: string, left_out: readonly Day[]): RepeatForm {
  const part = (name: string) => new RegExp(`${name}=([^;]*)`).exec(rule)?.[1];
  const [count, until] = [part("COUNT"), part("UNTIL")];
  return {
    unit: part("FREQ") === "MONTHLY" ? "month" : "week",
    every: Number(part("INTERVAL")),
    ends: count === undefined ? "until" : "times",
    times: count === undefined ? null : Number(count),
    until: (until ?? "").replace(/(\d{4})(\d\d)(\d\d)/, "$1-$2-$3"),
    left_out: [...left_out],
  };
}

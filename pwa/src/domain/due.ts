/**
 * By which day an answer to a referral is due. `intake/due.py` reckons alike; both run tests/parity/due.json.
 * Working days are Monday to Friday; local holidays are not known here, and come first.
 */
import type { Day } from "../wire/types";

const WORKING_DAYS: Readonly<Record<string, number>> = {
  now: 0,
  same_day: 0,
  one_working_day: 1,
  days: 3,
  weeks: 10,
};
const DAY_MS = 86_400_000;

/** The last day on which an answer is in time. An urgency that is not known is taken for today. */
export function dueOn(madeOn: Day, within: string): Day {
  let at = Date.parse(`${madeOn}T00:00:00Z`);
  for (let left = WORKING_DAYS[within] ?? 0; left > 0; left -= 1) {
    do at += DAY_MS;
    while ([0, 6].includes(new Date(at).getUTCDay()));
  }
  return new Date(at).toISOString().slice(0, 10);
}

/** Whether somebody should ask after the answer: at once for what was to be seen now. */
export function isOverdue(madeOn: Day, within: string, today: Day): boolean {
  return within === "now" || today > dueOn(madeOn, within);
}

export function daysAfter(day: Day, count: number): Day {
  return new Date(Date.parse(day) + count * DAY_MS).toISOString().slice(0, 10);
}

/** Whole days from one day to another. */
export function daysBetween(from: Day, to: Day): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / DAY_MS);
}

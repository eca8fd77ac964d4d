/**
 * When a client is to be visited next. The twin is `schedule/rules/due.py`; both run tests/parity/due_visits.json.
 * The weeks are those that were said when the last visit was signed off, which the book proposes by what was found. An
 * eighth of them to either side is in time: common practice, no source.
 */
import type { Day } from "../../wire/types";
import { daysAfter } from "../due";

export type DueState = "booked" | "booked_late" | "overdue" | "due" | "later" | "open";

/** The day on which a visit is due, and the first and the last that are in time for it. */
export interface Window {
  first: Day;
  day: Day;
  last: Day;
}

/** `since` is the day of the visit before. Who may wait has twice as long afterwards. */
export function windowOf(since: Day, weeks: number, mayWait: boolean): Window {
  const day = daysAfter(since, weeks * 7);
  const slack = Math.floor((weeks * 7) / 8);
  return {
    first: daysAfter(day, -slack),
    day,
    last: daysAfter(day, mayWait ? 2 * slack : slack),
  };
}

/**
 * How it stands with a client's next visit. `booked` are the days from today on for which a visit is booked; without a
 * window nobody has said when the next one is to be.
 */
export function dueState(
  due: Pick<Window, "first" | "last"> | null,
  booked: readonly Day[],
  today: Day,
): DueState {
  const next = booked.toSorted()[0];
  if (next !== undefined) return due !== null && next > due.last ? "booked_late" : "booked";
  if (due === null) return "open";
  if (today > due.last) return "overdue";
  return today >= due.first ? "due" : "later";
}

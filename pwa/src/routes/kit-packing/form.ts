/** What is kept of a packing list: the day that was chosen, and what is in the bag for each day. */
import { daysAfter } from "../../domain/due";
import type { Day } from "../../wire/types";

/** `day` is today, tomorrow, or a date as it was typed. */
export interface PackForm {
  day: string;
  ticked: Record<Day, string[]>;
}

export function blank(): PackForm {
  return { day: "tomorrow", ticked: {} };
}

/** Null while a date is half typed. */
export function dayOfForm({ day }: PackForm, today: Day): Day | null {
  if (day === "today") return today;
  if (day === "tomorrow") return daysAfter(today, 1);
  return day >= today ? day : null;
}

/** What was ticked for days that are over is dropped. */
export function tick(form: PackForm, day: Day, id: string, on: boolean, today: Day): void {
  const before = (form.ticked[day] ?? []).filter((each) => each !== id);
  const kept = Object.entries(form.ticked).filter(([of]) => of >= today);
  form.ticked = { ...Object.fromEntries(kept), [day]: on ? [...before, id] : before };
}

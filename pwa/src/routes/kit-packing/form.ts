/** What is kept of a packing list: the day that was chosen, and what is in the bag for each day. */
import { daysAfter } from "../../domain/due";
import type { Day } from "../../wire/types";

/** `day` is today, tomorrow, or a date as it was typed. It was chosen `on` a day, and holds for as long as that one. */
export interface PackForm {
  day: string;
  on: string;
  ticked: Record<Day, string[]>;
}

export function blank(): PackForm {
  return { day: "", on: "", ticked: {} };
}

export function choose(form: PackForm, day: string, today: Day): void {
  form.day = day;
  form.on = today;
}

/** What was chosen; else the day that comes next. */
export function choiceIn({ day, on }: PackForm, today: Day, next: Day): string {
  if (on === today) return day;
  if (next === today) return "today";
  return next === daysAfter(today, 1) ? "tomorrow" : next;
}

/** Null while a date is half typed. */
export function dayOf(choice: string, today: Day): Day | null {
  if (choice === "today") return today;
  if (choice === "tomorrow") return daysAfter(today, 1);
  return choice >= today ? choice : null;
}

/** What was ticked for days that are over is dropped. */
export function tick(form: PackForm, day: Day, id: string, on: boolean, today: Day): void {
  const before = (form.ticked[day] ?? []).filter((each) => each !== id);
  const kept = Object.entries(form.ticked).filter(([of]) => of >= today);
  form.ticked = { ...Object.fromEntries(kept), [day]: on ? [...before, id] : before };
}

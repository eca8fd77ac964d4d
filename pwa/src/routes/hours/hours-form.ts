/** A working week as a form, and what is wrong with it. One break counts for every working day. */
import { minuteOf } from "../../domain/time-of-day";
import type { WireRows } from "../../wire/types";

type Week = WireRows["working_week"];
type WorkingDay = Week["days"][number];

export interface WeekForm {
  days: Omit<WorkingDay, "breaks">[];
  pause: { minutes: number | null; earliest: string; latest: string };
  skills: string;
  /** Once it holds what is known, or what was refused. */
  begun: boolean;
  /** The version that it began with; null for the one that stands when it is saved. */
  seen: number | null;
}

export const USUAL_HOURS = { starts: "09:00", ends: "17:00" };

export function blankWeek(): WeekForm {
  const pause = { minutes: null, earliest: "12:00", latest: "14:00" };
  return { days: [], pause, skills: "", begun: false, seen: null };
}

export function weekForm(week: Week, seen: number | null): WeekForm {
  const pause = week.days.flatMap(({ breaks }) => breaks)[0] ?? blankWeek().pause;
  return {
    days: week.days.map(({ weekday, starts, ends }) => ({ weekday, starts, ends })),
    pause: { ...pause },
    skills: week.skills.join(", "),
    begun: true,
    seen,
  };
}

export function weekOf({ days, pause, skills }: WeekForm): Week {
  const { minutes, earliest, latest } = pause;
  const breaks = minutes === null ? [] : [{ minutes: Math.round(minutes), earliest, latest }];
  return { days: days.map((day) => ({ ...day, breaks })), skills: wordsOf(skills) };
}

/** Words with commas between them, each once. */
export function wordsOf(typed: string): string[] {
  const words = typed.split(",").map((word) => word.trim().slice(0, 60));
  return [...new Set(words.filter((word) => word !== ""))];
}

/** What is missing or can't be, by the keys of its words. */
export function faultsOf({ days, pause }: WeekForm) {
  const { minutes, earliest, latest } = pause;
  const late = days.some(({ starts, ends }) => !starts || !ends || starts >= ends);
  const short =
    minutes !== null &&
    (!earliest || !latest || minuteOf(latest) - minuteOf(earliest) < Math.round(minutes));
  return [
    ...(late ? (["hours.wrong"] as const) : []),
    ...(short ? (["hours.break_wrong"] as const) : []),
  ];
}

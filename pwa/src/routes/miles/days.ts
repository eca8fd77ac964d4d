/** Which days the list of travel has: the last two weeks with stops, and all that were told of late. */
import { daysAfter } from "../../domain/due";
import type { OwnMiles } from "./miles.svelte";

const MOST = 31;
const DAYS_BACK = 14;

export function daysToShow(own: Pick<OwnMiles, "stand" | "stopsOf">, today: string): string[] {
  const told = own.stand.map(({ day }) => day);
  const late = Array.from({ length: DAYS_BACK }, (_, back) => daysAfter(today, -back));
  const stops = late.filter((day) => own.stopsOf(day).length > 0);
  return [...new Set([...told, ...stops])].sort().reverse().slice(0, MOST);
}

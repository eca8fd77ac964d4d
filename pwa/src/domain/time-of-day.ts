/** Times of the clock on the wall, as HH:MM and as minutes of the day; and days, as YYYY-MM-DD. */
import type { Day } from "../wire/types";

export function minuteOf(clock: string): number {
  const [hours = 0, minutes = 0] = clock.split(":").map(Number);
  return hours * 60 + minutes;
}

export function clockAt(minute: number): string {
  const two = (part: number) => String(part).padStart(2, "0");
  return `${two(Math.floor(minute / 60))}:${two(minute % 60)}`;
}

export function daysAfter(day: Day, count: number): Day {
  const next = new Date(`${day}T00:00:00Z`);
  next.setUTCDate(next.getUTCDate() + count);
  return next.toISOString().slice(0, 10);
}

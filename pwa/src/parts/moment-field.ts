import { moment } from "../words/format";

/** What MomentField.svelte holds; null while the day or the time is missing. */
export function typedMoment(day: string, clock: string): Date | null {
  return day === "" || clock === "" ? null : moment(day, clock);
}

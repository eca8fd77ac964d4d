/** What a person says of how many are left, as the change that the command takes. */
export type How = "counted" | "came_in" | "thrown_away";
export const HOWS: readonly How[] = ["came_in", "counted", "thrown_away"];

export function changeBy(how: How, count: number, left: number): number {
  if (how === "counted") return count - left;
  return how === "came_in" ? count : -count;
}

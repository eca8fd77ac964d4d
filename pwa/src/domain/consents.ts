/** What a client has agreed to, purpose by purpose. `intake/rules.py` decides alike. */
import type { Instant } from "../wire/types";

export const PURPOSES = ["treatment", "photos", "sharing", "messages"] as const;
export type Purpose = (typeof PURPOSES)[number];

/** `none`: nothing on record, which is not a no. */
export type ConsentState = "agreed" | "refused" | "withdrawn" | "none";

/** A yes or a no for one purpose. A no is a refusal; only a yes is withdrawn. */
export interface Decision {
  agreed: boolean;
  at: Instant;
  withdrawn_at: Instant | null;
}

/** When a yes ends: taken back, or followed by a no, whichever came first. A no at the same moment is the later word. */
export function endsAt(yes: Decision, allOfPurpose: readonly Decision[]): Instant | null {
  const ends = allOfPurpose
    .filter((one) => !one.agreed && Date.parse(one.at) >= Date.parse(yes.at))
    .map((one) => one.at);
  if (yes.withdrawn_at !== null) ends.push(yes.withdrawn_at);
  return ends.toSorted(byTime)[0] ?? null;
}

export function stateOf(decisions: readonly Decision[], at: Date): ConsentState {
  const made = decisions.filter((one) => Date.parse(one.at) <= at.getTime());
  const ends = made.filter((one) => one.agreed).map((one) => endsAt(one, made));
  if (ends.some((end) => end === null || Date.parse(end) > at.getTime())) return "agreed";
  if (made.length === 0) return "none";
  const refused = latest(made.filter((one) => !one.agreed).map((one) => one.at));
  return refused >= latest(made.map((one) => one.withdrawn_at)) ? "refused" : "withdrawn";
}

function latest(moments: readonly (Instant | null)[]): number {
  return Math.max(...moments.map((moment) => (moment === null ? -Infinity : Date.parse(moment))));
}

function byTime(a: Instant, b: Instant): number {
  return Date.parse(a) - Date.parse(b);
}

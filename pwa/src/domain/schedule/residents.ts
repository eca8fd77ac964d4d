/**
 * For how long what is on record of a resident still speaks for a visit. The twin is `schedule/rules/residents.py`;
 * both run tests/parity/resident_states.json. A consent stands until it is taken back, and a health screen counts for a
 * visit for some hours only; these days say when either is to be looked at again.
 */
import type { Day } from "../../wire/types";
import { daysAfter } from "../due";

export type ConsentOn = "stands" | "renew" | "missing";
export type ScreenOn = "recent" | "due";

/** A consent to the work that stands, with the day on which it was given. */
export interface Agreed {
  day: Day;
  by_representative: boolean;
}

/** The last day before it is to be asked for anew; null where none holds for this client. */
export function consentUntil(
  agreed: readonly Agreed[],
  decidesForSelf: boolean,
  days: number,
): Day | null {
  const holding = agreed.filter((one) => decidesForSelf || one.by_representative);
  const newest = holding
    .map(({ day }) => day)
    .toSorted()
    .at(-1);
  return newest === undefined ? null : daysAfter(newest, days);
}

/** The last day on which the newest health screen is a recent one. */
export function screenUntil(screened: Day | null, days: number): Day | null {
  return screened === null ? null : daysAfter(screened, days);
}

export function consentOn(until: Day | null, day: Day): ConsentOn {
  if (until === null) return "missing";
  return day <= until ? "stands" : "renew";
}

export function screenOn(until: Day | null, day: Day): ScreenOn {
  return until !== null && day <= until ? "recent" : "due";
}

/** The form for a clearance: what it holds, and what it still waits for. */
import { sameName } from "../../domain/same-name";
import { daysAfter } from "../../domain/due";
import type { BookJson } from "../../domain/screening";
import { outOfRange } from "../../parts/day-range";
import { type Lacks, lacksOf } from "../../parts/lacks";
import type { Day } from "../../wire/types";
import type { Around } from "../referral/answer-form";
import { NOTHING_SAID } from "./limits-of";

export function blankClearance() {
  return {
    clinician: "",
    clinician_role: "",
    given_on: "",
    expires_on: "",
    covers: [] as string[],
    scope: "",
    limits: NOTHING_SAID,
    evidence_note: "",
    evidence_photo: null as string | null,
  };
}

export type ClearanceForm = ReturnType<typeof blankClearance>;

export function untouched(said: ClearanceForm): boolean {
  const { clinician, clinician_role, given_on, expires_on, scope, evidence_note, covers } = said;
  const typed = [clinician, clinician_role, given_on, expires_on, scope, evidence_note];
  return typed.every((each) => each === "") && covers.length === 0;
}

export function olderThanLetter(day: Day, { letter }: Pick<Around, "letter">): boolean {
  return letter !== null && outOfRange(day, letter, undefined) !== null;
}

/** Of a book that does not say. */
const LONGEST_DAYS = 366;

export function longest({ settings }: Pick<BookJson, "settings">): number {
  return settings.clearance_days_max ?? LONGEST_DAYS;
}

/** The last day until which it may last; none before the day on which it was given is known. */
export function latestEnd(given: Day, days: number): Day | undefined {
  return given === "" ? undefined : daysAfter(given, days);
}

/** `days` is how long it may last. */
export function clearanceLacks(said: ClearanceForm, around: Around, days: number): Lacks {
  const { clinician, given_on: given, expires_on: expires } = said;
  const ahead = outOfRange(given, undefined, around.today) !== null;
  const endless = outOfRange(expires, given, latestEnd(given, days)) !== null;
  return lacksOf([
    ["clinician.name", clinician, sameName(clinician, around.me)],
    ["clinician.role", said.clinician_role, false],
    ["clearance.given_on", given, ahead || olderThanLetter(given, around)],
    ["clearance.expires_on", expires, endless],
    ["clearance.covers", said.covers.join(), false],
    ["clearance.scope", said.scope, false],
    ["clearance.evidence", said.evidence_photo ?? said.evidence_note, false],
  ]);
}

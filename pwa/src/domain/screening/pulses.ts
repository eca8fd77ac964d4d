/**
 * Whether a foot pulse was felt for and not found. A pulse that is felt eases nothing. The twin is pulses.py;
 * both run the vectors of tests/parity.
 */
import type { Answer } from "../findings";
import { FEET } from "./touch";

type AnswerMap = ReadonlyMap<string, Answer>;

/** Felt for, and not found or not sure. */
const MISSING: readonly unknown[] = ["not_felt", "dont_know"];
const NOT_TO_FEEL: readonly unknown[] = ["no_foot", "no_leg", "not_shown", "not_seen"];

/** Null while it is still to be felt for. What is on record counts wherever it comes from. */
export function pulseMissing(answers: AnswerMap, checked: boolean): boolean | null {
  if (FEET.some((foot) => MISSING.includes(answers.get(`pulse_${foot}`)))) return true;
  const awaited = FEET.some(
    (foot) =>
      !answers.has(`pulse_${foot}`) && !NOT_TO_FEEL.includes(answers.get(`${foot}_foot_seen`)),
  );
  return checked && awaited ? null : false;
}

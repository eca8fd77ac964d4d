/**
 * Facts worked out from findings, answers, age and settings, so that rules can name them.
 *
 * A fact that cannot be known yet is left out, never false. The twin is facts.py; both run the vectors of
 * tests/parity.
 */
import type { Answer, Finding } from "../findings";
import type { BookJson } from "./book";
import type { Value } from "./expressions";
import { pulseMissing } from "./pulses";
import { deriveTouch, looked, TOE_GONE } from "./touch";

const FOUND: Record<string, readonly string[]> = {
  any_crack: ["crack"],
  any_ulcer: ["ulcer"],
  any_wound: ["wound", "blister"],
  any_black_tissue: ["black_tissue"],
  any_swelling: ["swelling"],
  any_colour_change: ["colour"],
  any_warmth: ["warmth"],
  any_redness: ["redness"],
  any_discharge: ["discharge"],
  any_maceration: ["maceration"],
  any_callus: ["callus"],
  any_corn: ["corn"],
  any_dryness: ["dryness"],
  any_nail_thick: ["nail_thick"],
  any_nail_fungus_signs: ["nail_fungus_signs"],
  any_nail_ingrown: ["nail_ingrown"],
  any_rash: ["rash"],
  any_lump: ["lump"],
};
export const FINDING_KINDS = [...Object.values(FOUND).flat(), TOE_GONE];

/** As far as it goes: what the phone has typed so far may lack any of these. */
export type FoundSoFar = Partial<Finding> & Pick<Finding, "what">;
type AnswerMap = ReadonlyMap<string, Answer>;
type Maybe<T> = T | null | undefined;

export function derive(
  answers: AnswerMap,
  findings: readonly FoundSoFar[],
  age: number | null,
  settings: BookJson["settings"],
): Map<string, Value> {
  const cracks = findings.filter((finding) => finding.what === "crack");
  const seen = looked(answers);
  const facts: [string, Maybe<Value>][] = [
    ["age", age === null ? null : BigInt(age)],
    ["age_65_or_over", age === null ? null : age >= settings.elderly_age],
    ["technician_checks_pulses", settings.technician_checks_pulses],
    ["pulse_missing", pulseMissing(answers, settings.technician_checks_pulses)],
    ["crack_open", any(cracks.map(isOpen), seen)],
    [
      "crack_bleeding",
      any(
        cracks.map((crack) => crack.bleeding),
        seen,
      ),
    ],
    [
      "crack_oozing",
      any(
        cracks.map((crack) => crack.oozing),
        seen,
      ),
    ],
    ["deepest_crack_mm", seen ? deepest(cracks) : null],
    ...deriveTouch(answers, findings),
  ];
  for (const [fact, kinds] of Object.entries(FOUND)) {
    facts.push([
      fact,
      any(
        findings.map((finding) => kinds.includes(finding.what)),
        seen,
      ),
    ]);
  }
  return new Map(
    facts.filter((fact): fact is [string, Value] => fact[1] !== null && fact[1] !== undefined),
  );
}

/** Three-valued "or": one yes decides; a "no" needs every answer and both feet looked at. */
function any(values: readonly Maybe<boolean>[], looked: boolean): boolean | null {
  if (values.includes(true)) return true;
  return looked && values.every((value) => value === false) ? false : null;
}

function isOpen(crack: FoundSoFar): boolean | null {
  return crack.state ? crack.state === "open" : null;
}

function deepest(cracks: readonly FoundSoFar[]): number | null {
  const depths = cracks.map((crack) => crack.depth_mm).filter((depth) => typeof depth === "number");
  return depths.length < cracks.length ? null : Math.max(0, ...depths);
}

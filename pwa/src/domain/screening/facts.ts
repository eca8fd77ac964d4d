/**
 * Facts worked out from findings, answers and age, so that rules can name them.
 *
 * A fact that cannot be known yet is left out, never false. The twin is facts.py, which has the
 * sources; both run the vectors of tests/parity.
 */
import type { Answer, Finding } from "../findings";
import type { Value } from "./expressions";

export const FEET = ["left", "right"] as const;
export const TOUCH_SITES = FEET.flatMap((foot) => [1, 3, 5].map((toe) => `${foot}_${toe}`));
export const TOUCH_STATES = ["felt", "not_felt", "no_toe"] as const;
const TOUCH_POSITIVE = 2;

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
export const FINDING_KINDS = Object.values(FOUND).flat();

/** As far as it goes: what the phone has typed so far may lack any of these. */
export type FoundSoFar = Partial<Finding> & Pick<Finding, "what">;
type AnswerMap = ReadonlyMap<string, Answer>;
type Maybe<T> = T | null | undefined;

export function derive(
  answers: AnswerMap,
  findings: readonly FoundSoFar[],
  age: number | null,
  elderlyAge: number,
): Map<string, Value> {
  const cracks = findings.filter((finding) => finding.what === "crack");
  const looked = FEET.every((foot) =>
    ["seen", "no_foot"].includes(String(answers.get(`${foot}_foot_seen`))),
  );
  const facts: [string, Maybe<Value>][] = [
    ["age", age === null ? null : BigInt(age)],
    ["age_65_or_over", age === null ? null : age >= elderlyAge],
    ["crack_open", any(cracks.map(isOpen), looked)],
    [
      "crack_bleeding",
      any(
        cracks.map((crack) => crack.bleeding),
        looked,
      ),
    ],
    [
      "crack_oozing",
      any(
        cracks.map((crack) => crack.oozing),
        looked,
      ),
    ],
    ["deepest_crack_mm", looked ? deepest(cracks) : null],
    ...touch(answers),
  ];
  for (const [fact, kinds] of Object.entries(FOUND)) {
    facts.push([
      fact,
      any(
        findings.map((finding) => kinds.includes(finding.what)),
        looked,
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

/** With fewer than six sites to touch, one not felt is enough: our own careful reading. */
function touch(answers: AnswerMap): [string, Maybe<Value>][] {
  const answer = answers.get("touch_test");
  if (!Array.isArray(answer)) return [["touch_untested", answer === undefined ? null : true]];
  const gone = FEET.filter((foot) => answers.get(`${foot}_foot_seen`) === "no_foot");
  const absentSites = TOUCH_SITES.filter((site) => gone.some((foot) => site.startsWith(foot)));
  const states = new Map([
    ...absentSites.map((site): [string, string] => [site, "no_toe"]),
    ...answer.map((entry) => entry.split(":") as [string, string]),
  ]);
  const count = (state: string) => [...states.values()].filter((one) => one === state).length;
  const notFelt = count("not_felt");
  const absent = count("no_toe");
  const allSites = states.size === TOUCH_SITES.length;
  const counts = allSites && absent < TOUCH_SITES.length;
  const settled = allSites || FEET.every((foot) => answers.has(`${foot}_foot_seen`));
  return [
    ["touch_sites_not_felt", counts ? BigInt(notFelt) : null],
    ["touch_reduced", isReduced(notFelt, absent, counts)],
    ["touch_untested", settled ? !allSites : null],
  ];
}

function isReduced(notFelt: number, absent: number, counts: boolean): boolean | null {
  if (notFelt >= TOUCH_POSITIVE) return true;
  return counts ? absent > 0 && notFelt > 0 : null;
}

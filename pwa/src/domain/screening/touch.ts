/**
 * Which feet there were to look at, and what the light touch on six toes comes to. The twin is touch.py,
 * which has the source; both run the vectors of tests/parity.
 */
import type { Answer, Answers } from "../findings";
import type { Value } from "./expressions";
import type { FoundSoFar } from "./facts";

export const FEET = ["left", "right"] as const;
export type Foot = (typeof FEET)[number];
export const TOUCH_SITES = FEET.flatMap((foot) => [1, 3, 5].map((toe) => `${foot}_${toe}`));
export const TOUCH_STATES = ["felt", "not_felt", "no_toe"] as const;
/** A finding on the map, at the place of that toe. */
export const TOE_GONE = "toe_gone";
const NOT_SHOWN = "not_shown";
const TOUCH_POSITIVE = 2;

type AnswerMap = ReadonlyMap<string, Answer>;
type Touched = [string, Value | null];

function seen(answers: AnswerMap, foot: Foot): Answer | undefined {
  return answers.get(`${foot}_foot_seen`);
}

export function isAbsent(answer: Answer | undefined): boolean {
  return answer === "no_foot" || answer === "no_leg";
}

/** Whether all that there was to see was seen: a foot at least, or no foot is there at all. */
export function looked(answers: AnswerMap): boolean {
  const both = FEET.map((foot) => seen(answers, foot));
  const settled = both.every((one) => one === "seen" || one === NOT_SHOWN || isAbsent(one));
  return settled && (both.includes("seen") || !both.includes(NOT_SHOWN));
}

/**
 * What the toes are known to feel; null where it is not known yet. `touch_positive` tells of the sites that
 * were touched, `touch_untested` whether any was left out. With fewer than six sites to touch, one not felt is
 * enough: our own careful reading.
 */
export function deriveTouch(answers: AnswerMap, findings: readonly FoundSoFar[]): Touched[] {
  const answer = answers.get("touch_test");
  const toeMarked = findings.some(({ what }) => what === TOE_GONE);
  const saysNoToe = Array.isArray(answer) && answer.some((entry) => entry.endsWith(":no_toe"));
  const noToeGone = answer === undefined || !looked(answers) ? null : false;
  const gone: Touched = ["any_toe_gone", toeMarked || saysNoToe ? true : noToeGone];
  if (!Array.isArray(answer)) {
    const tried = answer !== undefined;
    return [
      gone,
      ["touch_positive", tried ? false : null],
      ["touch_untested", tried ? true : null],
    ];
  }
  return [gone, ...counted(answers, statesOf(answers, answer, findings))];
}

/** By site. A toe that is not there, or was not shown, can't count as one that felt it. */
function statesOf(
  answers: AnswerMap,
  touched: readonly string[],
  findings: readonly FoundSoFar[],
): ReadonlyMap<string, string> {
  const states = new Map(touched.map((entry) => entry.split(":") as [string, string]));
  for (const site of TOUCH_SITES) {
    if (states.get(site) === "not_felt") continue;
    const [foot = ""] = site.split("_");
    if (isAbsent(answers.get(`${foot}_foot_seen`)) || toeGone(findings, site)) {
      states.set(site, "no_toe");
    } else if (answers.get(`${foot}_foot_seen`) === NOT_SHOWN && states.get(site) === "felt") {
      states.delete(site);
    }
  }
  return states;
}

/** Whether the map says that the toe of this site is not there. */
function toeGone(findings: readonly FoundSoFar[], site: string): boolean {
  return findings.some(
    ({ what, foot, region }) =>
      what === TOE_GONE && site === `${foot ?? ""}_${(region ?? "").replace(/^toe_/, "")}`,
  );
}

/** The sites that there are to touch: of the feet that are there and shown, the toes that are. */
export function touchable(answers: Answers, findings: readonly FoundSoFar[]): string[] {
  return TOUCH_SITES.filter((site) => {
    const foot = answers[`${site.split("_")[0] ?? ""}_foot_seen`];
    return !isAbsent(foot) && foot !== NOT_SHOWN && !toeGone(findings, site);
  });
}

function counted(answers: AnswerMap, states: ReadonlyMap<string, string>): Touched[] {
  const count = (state: string) => [...states.values()].filter((one) => one === state).length;
  const notFelt = count("not_felt");
  const absent = count("no_toe");
  const tested = states.size === TOUCH_SITES.length && absent < TOUCH_SITES.length;
  // Until then a site may turn out to be on a foot that is not there, or was not shown.
  const knownFeet = FEET.every((foot) => seen(answers, foot) !== undefined);
  const fewer = absent > 0 || FEET.some((foot) => seen(answers, foot) === NOT_SHOWN);
  const positive = notFelt >= TOUCH_POSITIVE || (fewer && notFelt > 0);
  return [
    ["touch_sites_not_felt", knownFeet && tested ? BigInt(notFelt) : null],
    ["touch_positive", positive ? true : knownFeet ? false : null],
    ["touch_reduced", positive || (knownFeet && tested) ? positive : null],
    ["touch_untested", knownFeet ? !tested : null],
  ];
}

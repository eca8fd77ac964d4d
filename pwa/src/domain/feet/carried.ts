/**
 * What a foot check takes over from the ones before, since nobody looked for it: silence never means "gone".
 * docs/decisions/0171.
 */
import type { Answers, Finding } from "../findings";
import { isAbsent, TOE_GONE } from "../screening/touch";
import { followed } from "./follow";
import { lastOf, toLookFor, type Look, type Sighting, type Trail } from "./trails";

export interface Told {
  findings: readonly Finding[];
  /** Ids of earlier findings that were said to be no longer there. */
  gone?: readonly string[];
}

export interface Kept {
  findings: Finding[];
  gone: string[];
  /** The earlier findings that go on as they were, with the day on which they were last seen. */
  carried: Sighting[];
}

/** The check as it is kept. What lay on a foot or toe that is not there any more is gone with it. */
export function kept(
  trails: readonly Trail[],
  told: Told,
  answers: Answers,
  newId: () => string,
): Kept {
  const said = told.gone ?? [];
  const left = toLookFor(trails, told.findings, said).map(lastOf);
  const toes = lostSince(trails, told.findings);
  const lost = left.filter(
    ({ finding }) =>
      isAbsent(answers[`${finding.foot}_foot_seen`]) ||
      toes.some(({ foot, region }) => foot === finding.foot && region === finding.region),
  );
  const carried = left.filter((one) => !lost.includes(one));
  return {
    findings: [...told.findings, ...carried.map(({ finding }) => asItWas(finding, newId()))],
    gone: [...said, ...lost.map(({ finding }) => finding.id)],
    carried,
  };
}

/** When somebody last looked at a finding, by the checks that carried it on; null where none of them did. */
export function lastLooked(looks: readonly Look[], carried: Finding): string | null {
  const told = new Map(
    looks.flatMap(({ checked_at: at, findings }) =>
      findings.map((finding): [string, Sighting] => [finding.id, { at, finding }]),
    ),
  );
  const passed = new Set<string>();
  let seen: Sighting | undefined = { at: "", finding: carried };
  while (seen?.finding.looked === false) {
    const before: string = seen.finding.follows ?? "";
    if (passed.has(before)) return null;
    passed.add(before);
    seen = told.get(before);
  }
  return seen?.at ?? null;
}

function asItWas(finding: Finding, id: string): Finding {
  return { ...finding, id, follows: finding.id, looked: false };
}

/** The toes that the check before still had: what was found at the place of a lost toe stays. */
function lostSince(trails: readonly Trail[], findings: readonly Finding[]): Finding[] {
  const before = followed(
    trails.map((trail) => lastOf(trail).finding),
    findings,
  );
  return findings.filter(({ id, what }) => what === TOE_GONE && !before.has(id));
}

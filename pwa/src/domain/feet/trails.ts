/** Each finding of a client through all foot checks, with what visits measured of it after the work. */
import type { CrackMeasure } from "../commands";
import type { Finding } from "../findings";
import { followed } from "./follow";

export interface Look {
  checked_at: string;
  findings: readonly Finding[];
  /** Ids of earlier findings that were looked for and are no longer there. */
  gone?: readonly string[];
}

export interface Work {
  at: string;
  cracks: readonly CrackMeasure[];
}

export interface Sighting {
  /** When somebody looked. Where a check only carries it on, that is before the check. */
  at: string;
  finding: Finding;
}

/** Lengths in mm. */
export interface Measure {
  at: string;
  length_mm: number | null;
  depth_mm: number | null;
  /** Measured after work on it, not by the look before. */
  worked: boolean;
}

export interface Trail {
  /** From the first time that it was seen to the last; at least one. */
  sightings: readonly [Sighting, ...Sighting[]];
  /** When a look found that it is no longer there. */
  gone_at: string | null;
}

/** The looks in any order. A trail goes on until a look says that the finding is gone. */
export function trailsOf(looks: readonly Look[]): Trail[] {
  return looks
    .toSorted((a, b) => Date.parse(a.checked_at) - Date.parse(b.checked_at))
    .reduce<Trail[]>(looked, []);
}

export function findingsOf(trails: readonly Trail[]): Finding[] {
  return trails.flatMap(({ sightings }) => sightings.map(({ finding }) => finding));
}

export function lastOf(trail: Trail): Sighting {
  return trail.sightings.at(-1) ?? trail.sightings[0];
}

/** What the next look has to look for again: not gone, and neither followed nor called gone by that look. */
export function toLookFor(
  trails: readonly Trail[],
  findings: readonly Finding[],
  gone: readonly string[],
): Trail[] {
  const open = trails.filter((trail) => trail.gone_at === null);
  const settled = new Set([
    ...gone,
    ...[
      ...followed(
        open.map((trail) => lastOf(trail).finding),
        findings,
      ).values(),
    ].map(({ id }) => id),
  ]);
  return open.filter((trail) => !settled.has(lastOf(trail).finding.id));
}

/** All that was measured of one finding, in the order of time. */
export function measuresOf(trail: Trail, works: readonly Work[]): Measure[] {
  const ids = new Set(trail.sightings.map(({ finding }) => finding.id));
  const seen = trail.sightings
    .filter(({ finding }) => finding.looked !== false)
    .map(({ at, finding: { length_mm, depth_mm } }) => ({
      at,
      length_mm,
      depth_mm,
      worked: false,
    }));
  const after = works.flatMap(({ at, cracks }) =>
    cracks
      .filter(({ finding }) => ids.has(finding))
      .map(({ length_after_mm, depth_after_mm }) => ({
        at,
        length_mm: length_after_mm,
        depth_mm: depth_after_mm,
        worked: true,
      })),
  );
  return [...seen, ...after]
    .filter(({ length_mm, depth_mm }) => length_mm !== null || depth_mm !== null)
    .toSorted((a, b) => Date.parse(a.at) - Date.parse(b.at));
}

function looked(trails: Trail[], look: Look): Trail[] {
  const open = trails.filter((trail) => trail.gone_at === null);
  const before = followed(
    open.map((trail) => lastOf(trail).finding),
    look.findings,
  );
  const sighted = (finding: Finding): Sighting => ({ at: look.checked_at, finding });
  const next = new Map(
    look.findings.flatMap((finding) => {
      const earlier = before.get(finding.id);
      return earlier ? [[earlier.id, finding] as const] : [];
    }),
  );
  const goneNow = new Set(look.gone ?? []);
  const gone_on = trails.map((trail): Trail => {
    const last = lastOf(trail);
    const again = trail.gone_at === null ? next.get(last.finding.id) : undefined;
    if (again) {
      const now = again.looked === false ? { ...last, finding: again } : sighted(again);
      return { ...trail, sightings: [...trail.sightings, now] };
    }
    return trail.gone_at === null && goneNow.has(last.finding.id)
      ? { ...trail, gone_at: look.checked_at }
      : trail;
  });
  const fresh = look.findings.filter(({ id }) => !before.has(id));
  return [
    ...gone_on,
    ...fresh.map((finding): Trail => ({ sightings: [sighted(finding)], gone_at: null })),
  ];
}

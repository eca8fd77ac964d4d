/** Turns findings into lettered marks on the foot map, so that the drawing and its list agree. */
import { REGIONS, type Foot, type View } from "./regions";

export interface Located {
  id: string;
  foot: Foot;
  view: View;
  region: string;
}
export interface Mark extends Located {
  letter: string;
  at: readonly [number, number];
}

const STEP = 26;

export function marksOf(findings: readonly Located[]): Mark[] {
  const taken = new Map<string, number>();
  return findings.map(({ id, foot, view, region }, index) => {
    const spot = `${foot}/${view}/${region}`;
    const nth = taken.get(spot) ?? 0;
    taken.set(spot, nth + 1);
    const [x, y] = REGIONS[view].find((shape) => shape.id === region)?.at ?? [130, 250];
    return { id, foot, view, region, letter: letterOf(index), at: [x + nth * STEP, y] };
  });
}

/** A, B … Z, then A2, B2 … */
export function letterOf(index: number): string {
  const round = Math.floor(index / 26);
  return String.fromCharCode(65 + (index % 26)) + (round === 0 ? "" : String(round + 1));
}

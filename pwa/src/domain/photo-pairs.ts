/** Photos of the same visit side by side: before and after. */
import type { RowOf } from "./rows";

export interface APhoto {
  id: string;
  row: RowOf<"photo">;
}

export interface Pair {
  /** The visit. */
  about: string;
  before: APhoto[];
  after: APhoto[];
}

/** The newest visit first, within it the oldest photo first. Photos that belong to no visit are in none. */
export function pairsOf(photos: readonly APhoto[], client: string): Pair[] {
  const pairs = new Map<string, Pair>();
  const ofVisits = photos
    .filter(({ row }) => row.client === client && row.about !== null)
    .filter(({ row }) => row.purpose === "before" || row.purpose === "after")
    .toSorted((one, other) => takenAt(one) - takenAt(other));
  for (const photo of ofVisits) {
    const about = photo.row.about ?? "";
    const pair = pairs.get(about) ?? { about, before: [], after: [] };
    pair[photo.row.purpose === "before" ? "before" : "after"].push(photo);
    pairs.set(about, pair);
  }
  return [...pairs.values()].toSorted((one, other) => lastOf(other) - lastOf(one));
}

function lastOf({ before, after }: Pair): number {
  return Math.max(...[...before, ...after].map(takenAt));
}

function takenAt({ row }: APhoto): number {
  return Date.parse(row.taken_at);
}

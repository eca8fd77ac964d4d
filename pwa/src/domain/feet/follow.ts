/** Which of today's findings is the same thing as which of earlier ones. */
import type { Finding } from "../findings";

export type Placed = Pick<Finding, "id" | "foot" | "view" | "region" | "what" | "follows">;

/**
 * By the id of a finding now, the earlier finding that it goes on from; each earlier one at most once.
 * A finding names the one that it follows. Where it names none, as apps of before did, it follows the first
 * that is left of the same kind at the same place.
 */
export function followed<E extends Placed>(
  earlier: readonly E[],
  now: readonly Placed[],
): Map<string, E> {
  const left = new Map(earlier.map((finding) => [finding.id, finding]));
  const found = new Map<string, E>();
  const take = (finding: Placed, before: E | undefined) => {
    if (before === undefined) return;
    found.set(finding.id, before);
    left.delete(before.id);
  };
  for (const finding of now) {
    if (finding.follows) take(finding, left.get(finding.follows));
  }
  for (const finding of now.filter(({ follows }) => !follows)) {
    take(
      finding,
      [...left.values()].find((before) => alike(before, finding)),
    );
  }
  return found;
}

function alike(one: Placed, other: Placed): boolean {
  return (
    one.foot === other.foot &&
    one.view === other.view &&
    one.region === other.region &&
    one.what === other.what
  );
}

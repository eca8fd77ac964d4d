/** Who recorded each of two screens, or of two foot checks, that came to different outcomes. */
import { type RecordFact, standTogether } from "../../domain/together";
import type { Held } from "../../store";

type Kind = "health_screen" | "foot_check";

/**
 * The older first, as its outcome stands; null of one that cannot be told on this phone. `newer` is what the
 * incident is about: the other one is what it did not know of.
 */
export function recordedBy(
  records: readonly Held<Kind>[],
  newer: string,
  validHours: number,
): (string | null)[] {
  const made = records.find(({ id }) => id === newer);
  if (made === undefined) return [null, null];
  // As it was then: what was marked as a slip since was not one, and nothing newer was there.
  const facts = records
    .filter(({ row }) => row.client === made.row.client && momentOf(row) <= momentOf(made.row))
    .map(factOf);
  const [older, ...more] = standTogether(facts, validHours).filter((id) => id !== newer);
  const other = more.length === 0 ? records.find(({ id }) => id === older) : undefined;
  return [other?.row.staff ?? null, made.row.staff];
}

function factOf({ id, row }: Held<Kind>): RecordFact {
  return { id, at: atOf(row), seen: row.seen ?? [], slip: false };
}

function momentOf(row: Held<Kind>["row"]): number {
  return Date.parse(atOf(row));
}

function atOf(row: Held<Kind>["row"]): string {
  return "screened_at" in row ? row.screened_at : row.checked_at;
}

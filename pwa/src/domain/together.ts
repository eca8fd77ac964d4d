/**
 * Which health screens count, or which foot checks, where two people asked the same client or looked at
 * the same feet without knowing of each other.
 * `intake/rules.py` decides alike; both run tests/parity/together.json.
 */
import type { Id, Instant } from "../wire/types";

/** As many as the server takes. */
const MOST_SEEN = 50;

/** A health screen among screens, or a foot check among foot checks. */
export interface RecordFact {
  id: Id;
  at: Instant;
  /** Those that whoever made it knew of. */
  seen: readonly Id[];
  /** Entered in error. */
  slip: boolean;
}

/**
 * The ids of the records that count now, the newest first; empty where that was a slip. Beside the newest
 * count those that were still current when it was made and that it did not know of, unless one that is
 * newer than they has seen them. Who has seen a record has seen what that one had seen.
 */
export function standTogether(records: readonly RecordFact[], validHours: number): Id[] {
  const byTime = records.toSorted(newestFirst);
  const [newest] = byTime;
  if (newest === undefined || newest.slip) return [];
  const oldest = Date.parse(newest.at) - validHours * 3_600_000;
  const current = new Map(
    byTime.filter(({ at }) => Date.parse(at) >= oldest).map((record) => [record.id, record]),
  );
  const [standing, seen]: [Id[], Set<Id>] = [[], new Set()];
  for (const record of current.values()) {
    if (record.slip) continue;
    if (!seen.has(record.id)) standing.push(record.id);
    addSeen(record, current, seen);
  }
  return standing;
}

/** What a record that is made now has seen: all that this phone has of the last hours. */
export function stillKnown(records: readonly RecordFact[], now: Date, validHours: number): Id[] {
  const oldest = now.getTime() - validHours * 3_600_000;
  return records
    .filter(({ at }) => Date.parse(at) >= oldest)
    .toSorted(newestFirst)
    .slice(0, MOST_SEEN)
    .map(({ id }) => id);
}

function newestFirst(one: RecordFact, other: RecordFact): number {
  const apart = Date.parse(other.at) - Date.parse(one.at);
  return apart !== 0 ? apart : one.id < other.id ? 1 : -1;
}

/** What is there already was followed before, so that each record is followed once, however many there are. */
function addSeen(record: RecordFact, current: ReadonlyMap<Id, RecordFact>, seen: Set<Id>): void {
  const toFollow = [...record.seen];
  for (let one = toFollow.pop(); one !== undefined; one = toFollow.pop()) {
    if (seen.has(one)) continue;
    seen.add(one);
    toFollow.push(...(current.get(one)?.seen ?? []));
  }
}

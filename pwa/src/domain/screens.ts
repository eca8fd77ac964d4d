/**
 * Which health screens count, where two people asked the same client without knowing of each other.
 * `intake/rules.py` decides alike; both run tests/parity/together.json.
 */
import type { Id, Instant } from "../wire/types";

/** As many as the server takes. */
const MOST_SEEN = 50;

export interface ScreenFact {
  id: Id;
  at: Instant;
  /** The screens that whoever asked knew of. */
  seen: readonly Id[];
  /** Entered in error. */
  slip: boolean;
}

/**
 * The ids of the screens that count now, the newest first; empty where that was a slip. Beside the newest
 * count those that were still current when it was made and that it did not know of, unless one that is
 * newer than they has seen them. Who has seen a screen has seen what that one had seen.
 */
export function standTogether(screens: readonly ScreenFact[], validHours: number): Id[] {
  const byTime = screens.toSorted(newestFirst);
  const [newest] = byTime;
  if (newest === undefined || newest.slip) return [];
  const oldest = Date.parse(newest.at) - validHours * 3_600_000;
  const current = new Map(
    byTime.filter(({ at }) => Date.parse(at) >= oldest).map((screen) => [screen.id, screen]),
  );
  const [standing, seen]: [Id[], Set<Id>] = [[], new Set()];
  for (const screen of current.values()) {
    if (screen.slip) continue;
    if (!seen.has(screen.id)) standing.push(screen.id);
    addSeen(screen, current, seen);
  }
  return standing;
}

/** What a screen that is made now has seen: all that this phone has of the last hours. */
export function stillKnown(screens: readonly ScreenFact[], now: Date, validHours: number): Id[] {
  const oldest = now.getTime() - validHours * 3_600_000;
  return screens
    .filter(({ at }) => Date.parse(at) >= oldest)
    .toSorted(newestFirst)
    .slice(0, MOST_SEEN)
    .map(({ id }) => id);
}

function newestFirst(one: ScreenFact, other: ScreenFact): number {
  const apart = Date.parse(other.at) - Date.parse(one.at);
  return apart !== 0 ? apart : one.id < other.id ? 1 : -1;
}

/** What is there already was followed before, so that each screen is followed once, however many there are. */
function addSeen(screen: ScreenFact, current: ReadonlyMap<Id, ScreenFact>, seen: Set<Id>): void {
  const toFollow = [...screen.seen];
  for (let one = toFollow.pop(); one !== undefined; one = toFollow.pop()) {
    if (seen.has(one)) continue;
    seen.add(one);
    toFollow.push(...(current.get(one)?.seen ?? []));
  }
}

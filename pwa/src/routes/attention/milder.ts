/** Where two people recorded apart, and this one was shown the milder outcome: they may not know yet. */
import { OUTCOMES } from "../../domain/findings";
import { standTogether } from "../../domain/together";
import type { Held } from "../../store";

type Kind = "health_screen" | "foot_check";

export interface Found {
  id: string;
  staff: string;
  outcome: string;
  at: string;
}

export interface Milder {
  client: string;
  kind: Kind;
  /** The strictest of the others, and the one's own. */
  other: Found;
  own: Found;
}

interface Recorded extends Found {
  client: string;
  seen: readonly string[];
  slip: boolean;
}

/** One for each client; none once somebody has looked again, or what counts is too old to go by. */
export function shownMilder(
  kind: Kind,
  held: readonly Held<Kind>[],
  who: string,
  now: Date,
  validHours: number,
): Milder[] {
  // What stands beside the newest is no more than this older than it.
  const since = now.getTime() - 2 * validHours * 3_600_000;
  const late = held.map(recorded).filter(({ at }) => Date.parse(at) >= since);
  return [...new Set(late.map(({ client }) => client))].flatMap((client) => {
    const records = late.filter((one) => one.client === client);
    const counting = standTogether(records, validHours).flatMap(
      (id) => records.find((one) => one.id === id) ?? [],
    );
    const own = counting.find(({ staff }) => staff === who);
    const other = counting.toSorted((one, two) => rank(two) - rank(one))[0];
    if (!own || !other || other.staff === who || rank(own) < 0 || rank(other) <= rank(own))
      return [];
    if (now.getTime() - Date.parse(counting[0]?.at ?? "") > validHours * 3_600_000) return [];
    return [{ client, kind, other, own }];
  });
}

/** One that is not decided yet is neither milder nor stricter. */
function rank({ outcome }: Found): number {
  return (OUTCOMES as readonly string[]).indexOf(outcome);
}

function recorded({ id, row }: Held<Kind>): Recorded {
  const at = "screened_at" in row ? row.screened_at : row.checked_at;
  const { client, staff, outcome } = row;
  return { id, client, staff, outcome, at, seen: row.seen ?? [], slip: row.entered_in_error };
}

/** Whose next visit is due when, the most pressing first. */
import { away } from "../../domain/absent";
import { latestFirst } from "../../domain/by-time";
import type { RowOf } from "../../domain/rows";
import { type DueState, dueState, type Window, windowOf } from "../../domain/schedule/due-visits";
import type { Held } from "../../store";
import type { Day, Id } from "../../wire/types";
import { lastVisit } from "../booking/suggested";
import type { Span } from "../client/resident-states";

export interface Due {
  client: Id;
  name: string;
  where: string;
  state: DueState;
  due: Span | null;
  /** The next day for which a visit is booked. */
  booked: Day | null;
}

interface Given {
  clients: readonly Held<"client">[];
  bookings: readonly Held<"booking">[];
  facilities: readonly Held<"facility">[];
  dueOf: (client: Held<"client">) => Span | null;
  today: Day;
  dayOf: (at: string) => Day;
}

const PRESSING: readonly DueState[] = ["overdue", "open", "booked_late", "due", "later", "booked"];

/** Who gets visits now. Whose next visit is far off, and booked in time, stands last. */
export function dueList({ clients, bookings, facilities, dueOf, today, dayOf }: Given): Due[] {
  const bookedFor = byClient(
    bookings.filter(({ row }) => row.state === "booked" && dayOf(row.starts_at) >= today),
  );
  const houses = new Map(facilities.map(({ id, row }) => [id, row.name]));
  return clients
    .filter((client) => !away(client))
    .map((client) => {
      const { id, row } = client;
      const due = dueOf(client);
      const days = (bookedFor.get(id) ?? []).map((held) => dayOf(held.row.starts_at)).toSorted();
      const home = row.facility ? houses.get(row.facility) : undefined;
      const where = home ? [home, row.room].filter(Boolean).join(", ") : row.address;
      const state = dueState(due, days, today);
      return { client: id, name: row.name, where, state, due, booked: days[0] ?? null };
    })
    .toSorted(byNeed);
}

/** After the last visit that was signed off; null where it named no weeks, or there was none. */
export function nextDue(
  visits: readonly Held<"visit">[],
  client: Pick<RowOf<"client">, "may_wait">,
  dayOf: (at: string) => Day,
): Window | null {
  const newestFirst = visits.toSorted(latestFirst(({ row }) => row.started_at));
  const last = lastVisit({ visits: newestFirst });
  const weeks = last?.record.weeks_until_next;
  if (!last || !weeks) return null;
  return windowOf(dayOf(last.started_at), weeks, client.may_wait ?? false);
}

function byNeed(a: Due, b: Due): number {
  const need = PRESSING.indexOf(a.state) - PRESSING.indexOf(b.state);
  if (need !== 0) return need;
  const [mine, theirs] = [a.due?.last ?? "", b.due?.last ?? ""];
  return mine.localeCompare(theirs) || a.name.localeCompare(b.name);
}

/** What is held of each client. */
export function byClient<H extends { row: { client: Id } }>(held: readonly H[]): Map<Id, H[]> {
  const found = new Map<Id, H[]>();
  for (const each of held) {
    const theirs = found.get(each.row.client);
    if (theirs) theirs.push(each);
    else found.set(each.row.client, [each]);
  }
  return found;
}

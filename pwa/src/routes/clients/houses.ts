/**
 * The residents of each facility in room order, with the next booking; nothing about health but whether
 * somebody is away, since nobody is to knock there.
 */
import { type AwayAs, awayAs } from "../../domain/absent";
import { latestFirst } from "../../domain/by-time";
import type { Held } from "../../store";
import type { Id } from "../../wire/types";
import { dayKey } from "../../words/format";

export interface Resident {
  id: string;
  name: string;
  room: string;
  /** As the phone holds it. */
  client: Held<"client">;
  away: AwayAs | undefined;
  /** Today's counts until it is done. */
  next: string | null;
}
export interface House {
  id: string;
  name: string;
  /** To whom it was given. */
  staff: readonly Id[];
  residents: Resident[];
}

export function housesOf(
  facilities: readonly Held<"facility">[],
  clients: readonly Held<"client">[],
  bookings: readonly Held<"booking">[],
  now: Date,
): House[] {
  const next = nextByClient(bookings, now);
  return facilities
    .map(({ id, row }) => ({
      id,
      name: row.name,
      staff: row.staff,
      residents: clients
        .filter((client) => client.row.facility === id)
        .map((client) => ({ client, id: client.id, card: client.row }))
        .map(({ client, id: resident, card }) => ({
          client,
          id: resident,
          name: card.name,
          room: card.room,
          away: awayAs(card),
          next: next.get(resident) ?? null,
        }))
        .toSorted((a, b) => a.room.localeCompare(b.room, undefined, { numeric: true })),
    }))
    .toSorted((a, b) => a.name.localeCompare(b.name));
}

function nextByClient(bookings: readonly Held<"booking">[], now: Date): Map<string, string> {
  const today = dayKey(now);
  const ahead = bookings.filter(
    ({ row }) => row.state === "booked" && dayKey(row.starts_at) >= today,
  );
  // Of the entries with the same key the last one counts.
  const order = ahead.toSorted(latestFirst(({ row }) => row.starts_at));
  return new Map(order.map(({ row }) => [row.client, row.starts_at]));
}

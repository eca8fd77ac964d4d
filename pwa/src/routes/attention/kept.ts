/**
 * Clients who are away while bookings stand, and those bookings that a person at this phone has said to keep.
 * What was said counts for those bookings and that state of the card; a new one is asked about again.
 */
import { type AwayAs, awayAs, bookingsOfAbsent } from "../../domain/absent";
import type { CardStatus } from "../../domain/commands";
import type { Held } from "../../store";

export interface Kept {
  status: CardStatus;
  bookings: readonly string[];
}

export interface Absent {
  client: Held<"client">;
  status: AwayAs;
  bookings: readonly Held<"booking">[];
}

export function absentClients(
  clients: readonly Held<"client">[],
  bookings: readonly Held<"booking">[],
  now: Date,
): Absent[] {
  const standing = bookingsOfAbsent(clients, bookings, now);
  return clients.flatMap((client) => {
    const status = awayAs(client.row);
    const theirs = standing.filter(({ row }) => row.client === client.id);
    if (status === undefined || theirs.length === 0) return [];
    return [{ client, status, bookings: theirs }];
  });
}

export function keptBy({ status, bookings }: Absent): Kept {
  return { status, bookings: bookings.map(({ id }) => id) };
}

export function stillAsks(absent: Absent, kept: Kept | undefined): boolean {
  if (kept?.status !== absent.status) return true;
  return absent.bookings.some(({ id }) => !kept.bookings.includes(id));
}

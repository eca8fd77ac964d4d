/** Bookings that still stand for a client who, by the card, gets no visits now. */
import type { Id, Instant } from "../wire/types";
import type { CardStatus } from "./commands";
import type { BookingState } from "./rows";

interface Client {
  id: Id;
  row: { status?: CardStatus };
}

interface Booking {
  row: { client: Id; starts_at: Instant; state: BookingState };
}

export type AwayAs = Exclude<CardStatus, "active">;

/** How a client is away: died, in hospital or moved away. Undefined for one who gets visits. */
export function awayAs({ status }: Client["row"]): AwayAs | undefined {
  return status === "active" ? undefined : status;
}

export function away({ row }: Client): boolean {
  return awayAs(row) !== undefined;
}

/** The next one first. One whose time is past is nobody's visit any more. */
export function bookingsOfAbsent<B extends Booking>(
  clients: readonly Client[],
  bookings: readonly B[],
  now: Date,
): B[] {
  const absent = new Set(clients.filter(away).map(({ id }) => id));
  return bookings
    .filter(({ row }) => row.state === "booked" && absent.has(row.client))
    .filter(({ row }) => Date.parse(row.starts_at) >= now.getTime())
    .sort((one, other) => Date.parse(one.row.starts_at) - Date.parse(other.row.starts_at));
}

/** What a visit is booked for, and how long that takes this client, from the book and the visits of this phone. */
import {
  type Length,
  type PastVisit,
  usualLength,
  usualService as usual,
} from "../../domain/schedule/lengths";
import type { BookJson, Service } from "../../domain/screening/book";
import type { ClientFile } from "../client/file";

type Past = Pick<ClientFile, "visits" | "bookings">;

export function usualService(file: Past, services: readonly Service[]): Service | undefined {
  return usual(pastOf(file), services);
}

export function lengthOf(file: Past, service: Service): Length {
  return usualLength(pastOf(file), service);
}

export function servicesOf(book: BookJson | null): readonly Service[] {
  return book?.services ?? [];
}

/** The newest first, as the file has them. */
function pastOf({ visits, bookings }: Past): PastVisit[] {
  const named = new Map(bookings.map(({ id, row }) => [id, row.service ?? ""]));
  return visits
    .filter(({ row }) => row.state !== "started")
    .map(({ row: { state, booking, started_at, ended_at } }) => ({
      service: booking === null ? "" : (named.get(booking) ?? ""),
      minutes:
        state === "completed" && ended_at
          ? Math.ceil((Date.parse(ended_at) - Date.parse(started_at)) / 60_000)
          : null,
    }));
}

/** What a visit is booked for, and how long that takes this client, from the book and the visits of this phone. */
import { type Length, proposedLength } from "../../domain/schedule/lengths";
import type { BookJson, Service } from "../../domain/screening/book";
import type { ClientFile } from "../client/file";

type Past = Pick<ClientFile, "visits" | "bookings">;

/** What the last visit was booked for; else, by the book, what a new client is or any other. */
export function usualService(file: Past, services: readonly Service[]): Service | undefined {
  const seen = file.visits.filter(({ row }) => row.state !== "started");
  const before = file.bookings.find(({ id }) => id === seen[0]?.row.booking)?.row.service;
  const again = services.find(({ id, for_new }) => id === before && !for_new);
  return again ?? services.find(({ for_new }) => for_new === (seen.length === 0)) ?? services[0];
}

/** By the client's visits for it that were made whole, those of before there were services among them. */
export function lengthOf(file: Past, service: Service): Length {
  const bookings = new Map(file.bookings.map(({ id, row }) => [id, row.service ?? ""]));
  const took = file.visits.flatMap(({ row: { state, booking, started_at, ended_at } }) => {
    const named = booking === null ? "" : (bookings.get(booking) ?? "");
    const isFor = named === service.id || (named === "" && !service.for_new);
    const isOne = state === "completed" && ended_at && isFor;
    return isOne ? [Math.ceil((Date.parse(ended_at) - Date.parse(started_at)) / 60_000)] : [];
  });
  return proposedLength(service.minutes, took);
}

export function servicesOf(book: BookJson | null): readonly Service[] {
  return book?.services ?? [];
}

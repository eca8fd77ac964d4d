/** Where a booked visit is: the client's own home, or the house they live in. Null where nobody has said. */
import type { Id } from "../../wire/types";
import type { RowOf } from "../rows";
import type { Point } from "./position";

interface Places {
  clients: readonly { id: Id; row: Pick<RowOf<"client">, "facility" | "position"> }[];
  facilities: readonly { id: Id; row: Pick<RowOf<"facility">, "position"> }[];
}

export function placeOf(
  { clients, facilities }: Places,
  booking: Pick<RowOf<"booking">, "client" | "place">,
): Point | null {
  const client = clients.find(({ id }) => id === booking.client)?.row;
  if (booking.place === "home") return client?.position ?? null;
  return facilities.find(({ id }) => id === client?.facility)?.row.position ?? null;
}

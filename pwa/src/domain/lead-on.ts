/** Where the address of a client leads whose card was made one with another's. */
import type { Id } from "../wire/types";

interface Client {
  id: Id;
  row: { merged?: readonly Id[] };
}

/** The client's id, or that of the card that has their records now. An unknown id stays as it is. */
export function leadOn(clients: readonly Client[], id: Id): Id {
  if (clients.some((client) => client.id === id)) return id;
  return clients.find(({ row }) => row.merged?.includes(id))?.id ?? id;
}

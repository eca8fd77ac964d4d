/** What a person calls the records of this phone that entries refer to, each with its id. */
import { fromStore } from "svelte/store";
import { store } from "../../store";
import type { Id } from "../../wire/types";
import { dayAndTime } from "../../words/format";

type Named = [id: Id, name: string];
const WITH_NAMES = ["client", "staff", "facility", "vehicle", "price_item"] as const;

export function namedHere(): () => Named[] {
  const named = WITH_NAMES.map((kind) => fromStore(store.rows.live(kind)));
  const things = fromStore(store.rows.live("kit_thing"));
  const bookings = fromStore(store.rows.live("booking"));
  return () => [
    ...named.flatMap(({ current }) => (current ?? []).map(({ id, row }): Named => [id, row.name])),
    ...(things.current ?? []).map(({ id, row }): Named => [id, row.card.name]),
    ...(bookings.current ?? []).map(({ id, row }): Named => [id, dayAndTime(row.starts_at)]),
  ];
}

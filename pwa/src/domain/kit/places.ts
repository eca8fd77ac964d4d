/** Where the sets are, as a person looks for them. */
import type { Id } from "../../wire/types";
import type { KitSet } from "./kit";
import type { State } from "./standing";

export const PLACES = [
  "unclear",
  "mine",
  "used",
  "washed",
  "cycle",
  "drying",
  "cupboard",
  "theirs",
  "away",
] as const;
export type Place = (typeof PLACES)[number];

const PLACE: Record<Exclude<State, "out">, Place> = {
  clean: "cupboard",
  in_use: "used",
  dirty: "used",
  washing: "washed",
  processing: "cycle",
  drying: "drying",
  rejected: "away",
  lost: "away",
  retired: "away",
  unclear: "unclear",
};

/** The places that have something in them; what is clean for the shortest time comes first. */
export function byPlace(sets: readonly KitSet[], me: Id): [Place, KitSet[]][] {
  return PLACES.map((place): [Place, KitSet[]] => [
    place,
    sets.filter((set) => placeOf(set, me) === place).toSorted(byUntil),
  ]).filter(([, there]) => there.length > 0);
}

export function placeOf({ standing: { state, staff } }: KitSet, me: Id): Place {
  if (state === "out") return staff === me ? "mine" : "theirs";
  return PLACE[state];
}

function byUntil(one: KitSet, other: KitSet): number {
  return (one.standing.until ?? "").localeCompare(other.standing.until ?? "");
}

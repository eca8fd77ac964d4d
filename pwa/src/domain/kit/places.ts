/** Where the sets are, as a person looks for them. */
import type { Id } from "../../wire/types";
import type { KitSet } from "./kit";
import type { State, What } from "./standing";

export const PLACES = [
  "unclear",
  "called_back",
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

const PACKED: readonly What[] = ["pack", "take_out", "put_back"];
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

export function placeOf(set: KitSet, me: Id): Place {
  const { state, staff } = set.standing;
  if (state === "out") return staff === me ? "mine" : "theirs";
  return isCalledBack(set) ? "called_back" : PLACE[state];
}

/** It lies packed and looks clean, and its cycle does not count: nobody sees that by looking at it. */
export function isCalledBack({ steps, standing }: KitSet): boolean {
  const last = steps.find(({ id }) => id === standing.heads[0]);
  const packed = last !== undefined && PACKED.includes(last.what);
  return (
    packed && standing.state === "dirty" && standing.reasons.some((why) => why !== "out_of_date")
  );
}

function byUntil(one: KitSet, other: KitSet): number {
  return (one.standing.until ?? "").localeCompare(other.standing.until ?? "");
}

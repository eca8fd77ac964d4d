/** What of the kit was used in a visit, as it is written down and as the report says it. */
import type { KitUsed, UsedSet } from "../../domain/commands";
import type { Timed } from "../../domain/timed";
import type { Packed, Wipe } from "../../domain/kit/for-visit";
import type { Kit, KitSet } from "../../domain/kit/kit";
import type { Id, Instant } from "../../wire/types";

export interface VisitKit {
  sets: UsedSet[];
  /** Null until one is taken. */
  items: (Packed & { use: Id })[] | null;
  products: (Pick<Wipe, "solution"> & { use: Id; product: Id })[];
  /** The surfaces that stay wet; forms of before have none. */
  wet?: Timed | null;
  /** It was asked, and no set of the kit was used. */
  no_set: boolean;
}

/** The screens of a visit from which a set is taken or named. */
export const BACK_TO = ["visit", "sign-off"] as const;
export type BackTo = (typeof BACK_TO)[number];

export function blankKit(): VisitKit {
  return { sets: [], items: null, products: [], no_set: false };
}

export function usedKit({ sets, items, products }: VisitKit, at: Instant): KitUsed {
  return {
    sets,
    items: (items ?? []).filter(({ count }) => count > 0).map((item) => ({ ...item, at })),
    products: products.map((product) => ({ ...product, at })),
  };
}

/** Reports of before do not tell of the kit. */
export function kitOf(used: KitUsed | undefined): VisitKit {
  if (used === undefined) return blankKit();
  return {
    sets: used.sets,
    items: used.items.map(({ use, lot, count }) => ({ use, lot, count })),
    products: used.products.map(({ use, product, solution }) => ({ use, product, solution })),
    no_set: false,
  };
}

/** Where there are sets in the kit, a visit without one is asked about once. */
export function asksForSet({ kit }: { kit: VisitKit }, sets: readonly KitSet[]): boolean {
  return sets.length > 0 && kit.sets.length === 0 && !kit.no_set;
}

/** The sets of a visit that are on this phone. */
export function setsIn(used: readonly UsedSet[], kit: Kit): KitSet[] {
  const named = used.map(({ set }) => set);
  return kit.sets.filter(({ id }) => named.includes(id));
}

/** The server has refused it, or nobody asked before: only the report tells of it. */
export function isUnasked(used: UsedSet, kit: Kit): boolean {
  return !kit.rows.kit_use.some(({ id }) => id === used.use);
}

/** Whose last step is their use in this visit: they wait for the dirty box. */
export function toDirtyBox(kit: Kit, visit: Id): KitSet[] {
  const uses = kit.rows.kit_use.filter(({ row }) => row.visit === visit).map(({ id }) => id);
  return kit.sets.filter(
    ({ standing: { state, heads } }) =>
      state === "in_use" && heads.some((head) => uses.includes(head)),
  );
}

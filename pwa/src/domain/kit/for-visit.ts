/** What of the kit a visit to one client may take: sets, single-use items, and products for surfaces. */
import type { Id } from "../../wire/types";
import type { Supply } from "../screening/book";
import { isMixed, mixesOf } from "./asked";
import { isOver, type SetCard } from "./facts";
import type { Kit, KitSet, Lot, Product } from "./kit";
import { against } from "./standing";

/** `against`: why it may not go to a client; nothing where it may. */
export interface SetChoice {
  set: KitSet;
  against: readonly string[];
}

const GONE = ["lost", "retired"];

/** Those in this person's own box first, then the clean ones, of each what keeps the shortest; then the rest. */
export function setsFor(sets: readonly KitSet[], staff: Id): SetChoice[] {
  const rank = ({ set, against: why }: SetChoice) =>
    why.length > 0 ? 2 : Number(set.standing.state !== "out");
  return sets
    .filter(({ standing }) => !GONE.includes(standing.state))
    .map((set) => ({ set, against: against(set.standing, set.standing.heads, staff) }))
    .toSorted(
      (a, b) =>
        rank(a) - rank(b) || (a.set.standing.until ?? "").localeCompare(b.set.standing.until ?? ""),
    );
}

export interface Packed {
  lot: Id;
  count: number;
}

/** Lots that are not over, the one that is over first before the others. */
export function lotsInDate(lots: readonly Lot[], day: string): Lot[] {
  const until = ({ card }: Lot) => card.expires_on ?? "9999";
  return lots
    .filter(({ card }) => !isOver(card, day))
    .toSorted((a, b) => until(a).localeCompare(until(b)));
}

/** What was done in a visit, as far as single-use items hang on it. */
export interface Done {
  bits: readonly unknown[];
  work_done: readonly string[];
}

/** What the book says that a visit in which this was done takes. */
export function suppliesFor(supplies: readonly Supply[], { bits, work_done }: Done): Supply[] {
  const did = {
    bits: bits.length > 0,
    nails: work_done.some((each) => each.startsWith("nails")),
  };
  return supplies.filter(({ only_with }) => !only_with || did[only_with]);
}

/** What is still missing of that, out of the lots that there are besides. */
export function suggestedItems(
  supplies: readonly Supply[],
  lots: readonly Lot[],
  day: string,
  taken: readonly Packed[] = [],
): Packed[] {
  const counts = new Map(taken.map(({ lot, count }) => [lot, count]));
  const besides = lots.filter(({ id }) => !counts.has(id));
  return supplies.flatMap(({ id, per_visit }) => {
    const had = lots
      .filter(({ card }) => card.supply === id)
      .reduce((sum, lot) => sum + (counts.get(lot.id) ?? 0), 0);
    return itemsFrom(besides, id, Math.max(0, per_visit - had), day);
  });
}

/** So many of a supply, or as many as there are. */
export function itemsFrom(
  lots: readonly Lot[],
  supply: string,
  wanted: number,
  day: string,
): Packed[] {
  return lotsInDate(lots, day)
    .filter(({ card }) => card.supply === supply)
    .flatMap(({ id: lot, left }) => {
      const count = Math.min(wanted, Math.max(0, left));
      wanted -= count;
      return count > 0 ? [{ lot, count }] : [];
    });
}

/** A product that is ready to use, or one mix of it. */
export interface Wipe {
  product: Product;
  solution: Id | null;
  mixed_at: string | null;
}

/** Products for surfaces that are not over; of what is mixed, each mix that still keeps. */
export function wipesFor(kit: Kit, now: Date, day: string): Wipe[] {
  return kit.products
    .filter(({ card }) => card.used_for !== "instruments" && !isOver(card, day))
    .flatMap((product): Wipe[] => {
      if (!isMixed(product.card)) return [{ product, solution: null, mixed_at: null }];
      return mixesOf(kit, product, now).map(({ id, row }) => ({
        product,
        solution: id,
        mixed_at: row.mixed_at,
      }));
    });
}

/** How long a surface must stay wet with each product, by its label. Mixes of one product differ in nothing here. */
export function wetTimes(wipes: readonly Wipe[]): { name: string; seconds: number }[] {
  const products = new Map(wipes.map(({ product }) => [product.id, product.card]));
  return [...products.values()].map(({ name, contact_minutes }) => ({
    name,
    seconds: Math.ceil(contact_minutes * 60),
  }));
}

type Instrument = SetCard["instruments"][number];
/** A bit of which neither kind nor width need be typed. */
export type SetBit = Instrument & { family: string; head_mm: number };

export function bitsIn(sets: readonly KitSet[]): SetBit[] {
  const bits = sets
    .flatMap(({ card }) => card.instruments)
    .filter((one): one is SetBit => one.family !== null && one.head_mm !== null);
  const each = new Map(bits.map((bit) => [JSON.stringify(bit), bit]));
  return [...each.values()];
}

/** The least that any bit of the sets of this kind and width bears; null where none says. */
export function mostTurns(
  bits: readonly SetBit[],
  { family, head_mm }: { family: string; head_mm: number | null },
): number | null {
  const most = bits
    .filter((bit) => bit.family === family && bit.head_mm === head_mm)
    .flatMap(({ most_rpm }) => most_rpm ?? []);
  return most.length > 0 ? Math.min(...most) : null;
}

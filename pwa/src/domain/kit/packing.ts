/**
 * What to pack for a day's visits: how many of everything they need, what there is of it, and what is short. It counts
 * what stands in the kit now; what today's visits still use up is not taken off.
 */
import type { Day, Id, Instant } from "../../wire/types";
import type { RowOf } from "../rows";
import type { BookJson } from "../screening";
import { againstProduct, isMixed } from "./asked";
import { type Recipe, recipeFor } from "./dilution";
import { isOver, needsOf } from "./facts";
import { itemsFrom, lotsInDate, type Packed } from "./for-visit";
import type { HeldRow, Kit, KitSet, Lot, Product } from "./kit";
import type { State } from "./standing";

const MINUTE_MS = 60_000;

/** Those of one person on a day that are still to come. */
export function visitsOn(
  bookings: readonly HeldRow<"booking">[],
  begun: readonly RowOf<"visit">[],
  of: { day: Day; staff: Id; dayOf: (at: Instant) => Day },
): HeldRow<"booking">[] {
  const under_way = new Set(begun.map(({ booking }) => booking));
  return bookings
    .filter(({ id, row }) => row.state === "booked" && !under_way.has(id))
    .filter(({ row }) => row.staff === of.staff && of.dayOf(row.starts_at) === of.day)
    .toSorted((a, b) => Date.parse(a.row.starts_at) - Date.parse(b.row.starts_at));
}

interface Now {
  now: Date;
  staff: Id;
  dayOf: (at: Instant) => Day;
}

/** Those of today that are not begun, and whose time is not over. */
export function aheadToday(
  bookings: readonly HeldRow<"booking">[],
  begun: readonly RowOf<"visit">[],
  { now, staff, dayOf }: Now,
): HeldRow<"booking">[] {
  const day = dayOf(now.toISOString());
  return visitsOn(bookings, begun, { day, staff, dayOf }).filter(
    ({ row }) => Date.parse(row.starts_at) + row.minutes * MINUTE_MS > now.getTime(),
  );
}

/** The day to pack for: today while a visit is ahead, else the next one that has any. */
export function dayToPack(
  bookings: readonly HeldRow<"booking">[],
  begun: readonly RowOf<"visit">[],
  of: Now,
): Day {
  const today = of.dayOf(of.now.toISOString());
  if (aheadToday(bookings, begun, of).length > 0) return today;
  return nextDay(bookings, of.staff, today, of.dayOf) ?? today;
}

/** The first day after one on which this person has a visit. */
export function nextDay(
  bookings: readonly HeldRow<"booking">[],
  staff: Id,
  after: Day,
  dayOf: (at: Instant) => Day,
): Day | undefined {
  return bookings
    .filter(({ row }) => row.state === "booked" && row.staff === staff)
    .map(({ row }) => dayOf(row.starts_at))
    .filter((day) => day > after)
    .toSorted()[0];
}

/** The families of bits that the client of a visit may have; null where no limit says. */
export type BitsAllowed = readonly string[] | null;

/** `day` is that of the visits, `dayOf` the day of a moment where the practice is. */
export interface Trip {
  day: Day;
  staff: Id;
  visits: readonly BitsAllowed[];
  dayOf: (at: Instant) => Day;
}

interface Count {
  needed: number;
  have: number;
  short: number;
}

export interface PackingList {
  /** Of what the visits take, one is one for each; of `needed` so many are spare. */
  sets: Count & {
    spare: number;
    /** In the order in which to take them. */
    chosen: readonly KitSet[];
    /** Clean, and their bits are ruled out for every client of the day. */
    ruled_out: readonly KitSet[];
    /** Those that could still be made ready, the furthest on the way first. */
    in_time: readonly { set: KitSet; from: OnTheWay }[];
  };
  /** What is wiped between clients and not swapped, such as a handpiece. */
  tools: readonly KitSet[];
  items: readonly ItemLine[];
  soak: Soak;
}

/** Single-use items of one supply. `kept`: in lots at all; `over` are lots that may not be used on that day. */
export interface ItemLine extends Count {
  supply: Id;
  kept: boolean;
  take: readonly Packed[];
  over: readonly Lot[];
}

/** What sets are disinfected in away from base. */
export interface Soak {
  ml: number;
  ways: readonly SoakWay[];
}

/** `recipe` is null where the product is ready to use. `mixes` are those that keep through the day. */
export interface SoakWay {
  product: Product;
  recipe: Recipe | null;
  mixes: readonly HeldRow<"kit_solution">[];
}

/** The margin, rounded up; at least one, where anything is needed at all. */
export function spareOf(needed: number, percent: number): number {
  return needed === 0 ? 0 : Math.max(1, Math.ceil((needed * percent) / 100));
}

export function packingList(book: BookJson, kit: Kit, trip: Trip): PackingList {
  const sets = setsToPack(book, kit.sets, trip);
  return {
    sets,
    tools: trip.visits.length === 0 ? [] : toolsOf(book, kit.sets, trip),
    items: (book.supplies ?? []).map(({ id, per_visit }) =>
      itemLine(id, withSpare(book, per_visit * trip.visits.length), kit.lots, trip.day),
    ),
    soak: soakOf(kit, sets.needed * (book.settings.soak_ml_per_set ?? 0), trip),
  };
}

function withSpare({ settings }: BookJson, count: number): number {
  return count + spareOf(count, settings.spare_percent ?? 0);
}

/** On the way to being clean again, the furthest first. One that is clean or out does not keep through the day. */
const ON_THE_WAY = [
  "drying",
  "processing",
  "washing",
  "dirty",
  "in_use",
  "unclear",
  "clean",
  "out",
] as const satisfies State[];
export type OnTheWay = (typeof ON_THE_WAY)[number];

function setsToPack(book: BookJson, all: readonly KitSet[], trip: Trip): PackingList["sets"] {
  const { visits } = trip;
  const needed = withSpare(book, visits.length);
  const swapped = all.filter(({ card }) => isSwapped(book, card));
  const ready = swapped.filter((set) => isReady(set, trip)).toSorted(inOrder);
  const fitting = ready.filter((set) => visits.some((allowed) => fits(set, allowed)));
  const paired = pair(fitting, visits);
  const spares = fitting.filter((set) => !paired.has(set)).slice(0, needed - visits.length);
  const chosen = fitting.filter((set) => paired.has(set) || spares.includes(set));
  return {
    ...counted(needed, chosen.length),
    spare: needed - visits.length,
    chosen,
    ruled_out: visits.length === 0 ? [] : ready.filter((set) => !fitting.includes(set)),
    in_time: inTime(
      swapped.filter((set) => !ready.includes(set) && visits.some((it) => fits(set, it))),
      trip,
    ),
  };
}

/** What lies in somebody else's box is theirs. */
function inTime(sets: readonly KitSet[], { staff }: Trip): PackingList["sets"]["in_time"] {
  const here = sets.filter(({ standing: is }) => is.state !== "out" || is.staff === staff);
  return ON_THE_WAY.flatMap((from) =>
    here.filter(({ standing }) => standing.state === from).map((set) => ({ set, from })),
  );
}

/** Whether each client gets one of their own. */
function isSwapped({ instruments = [] }: BookJson, card: KitSet["card"]): boolean {
  return needsOf(instruments, card) === "sterilise";
}

/** Clean, or in this person's own box, and it keeps through the day. */
function isReady({ standing: { state, staff, until } }: KitSet, trip: Trip): boolean {
  const mine = state === "clean" || (state === "out" && staff === trip.staff);
  return mine && until !== null && trip.dayOf(until) > trip.day;
}

/** What lies in the box already, then what keeps the shortest. */
function inOrder({ standing: a }: KitSet, { standing: b }: KitSet): number {
  const taken = Number(b.state === "out") - Number(a.state === "out");
  return taken || Date.parse(a.until ?? "") - Date.parse(b.until ?? "");
}

/** A set with bits serves whoever may have one of them. */
function fits({ card }: KitSet, allowed: BitsAllowed): boolean {
  const families = card.instruments.flatMap(({ family }) => family ?? []);
  return families.length === 0 || allowed === null || families.some((it) => allowed.includes(it));
}

/** The sets that serve a visit each, as many as can; of two sets that would do, the one that comes first. */
function pair(sets: readonly KitSet[], visits: readonly BitsAllowed[]): Set<KitSet> {
  const served = new Map<number, KitSet>();
  const serve = (set: KitSet, tried: Set<number>): boolean =>
    visits.some((allowed, visit) => {
      if (tried.has(visit) || !fits(set, allowed)) return false;
      tried.add(visit);
      const before = served.get(visit);
      // Whoever serves this visit may serve another one as well.
      if (before !== undefined && !serve(before, tried)) return false;
      served.set(visit, set);
      return true;
    });
  for (const set of sets) serve(set, new Set());
  return new Set(served.values());
}

function toolsOf(book: BookJson, sets: readonly KitSet[], trip: Trip): KitSet[] {
  return sets.filter((set) => !isSwapped(book, set.card) && isReady(set, trip));
}

function itemLine(supply: Id, needed: number, all: readonly Lot[], day: Day): ItemLine {
  const ofSupply = all.filter(({ card }) => card.supply === supply);
  const lots = ofSupply.filter(({ left }) => left > 0);
  return {
    ...counted(
      needed,
      lotsInDate(lots, day).reduce((sum, { left }) => sum + left, 0),
    ),
    ...{ supply, kept: ofSupply.length > 0 },
    take: itemsFrom(lots, supply, needed, day),
    over: lots.filter(({ card }) => isOver(card, day)),
  };
}

function counted(needed: number, have: number): Count {
  return { needed, have, short: Math.max(0, needed - have) };
}

function soakOf(kit: Kit, ml: number, trip: Trip): Soak {
  if (ml === 0) return { ml, ways: [] };
  const products = kit.products.filter(({ card }) => againstProduct(card, trip.day) === null);
  return { ml, ways: products.map((product) => soakWay(kit, product, ml, trip)) };
}

function soakWay(kit: Kit, product: Product, ml: number, { day, dayOf }: Trip): SoakWay {
  const { stock_percent, use_ppm } = product.card;
  if (!isMixed(product.card) || stock_percent === null || use_ppm === null)
    return { product, recipe: null, mixes: [] };
  const mixes = kit.rows.kit_solution.filter(
    ({ row }) =>
      row.product === product.id &&
      row.thrown_away_at === null &&
      row.target_ppm >= use_ppm &&
      dayOf(row.keeps_until) > day,
  );
  const stock = { value: stock_percent, unit: "percent" } as const;
  return { product, recipe: recipeFor(stock, { value: use_ppm, unit: "ppm" }, ml), mixes };
}

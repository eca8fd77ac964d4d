/** The whole kit as a phone's rows have it at a moment: every set with how it stands, every cycle with its outcome. */
import type { Id } from "../../wire/types";
import { latestFirst } from "../by-time";
import type { RowKind, RowOf } from "../rows";
import type { BookJson } from "../screening";
import {
  loadsOf,
  type LotCard,
  type MachineCard,
  type ProductCard,
  type SetCard,
  standingOf,
  type Thing,
} from "./facts";
import { type Load, outcome, type Outcome } from "./loads";
import type { Standing } from "./standing";

export interface HeldRow<K extends RowKind> {
  id: Id;
  row: RowOf<K>;
}
export const KIT_KINDS = [
  "kit_thing",
  "kit_load",
  "kit_solution",
  "machine_check",
  "checklist",
  "kit_use",
] as const;
export type KitKind = (typeof KIT_KINDS)[number];
export type KitRows = { [K in KitKind]: readonly HeldRow<K>[] };

interface Labelled<C> {
  id: Id;
  label: string;
  card: C;
}
export type KitSet = Labelled<SetCard> & { steps: Thing["steps"]; standing: Standing };
export type Product = Labelled<ProductCard>;
/** `left` is how many there are, as told. */
export type Lot = Labelled<LotCard> & { left: number };
export type Machine = Labelled<MachineCard>;
export interface Cycle {
  id: Id;
  row: RowOf<"kit_load">;
  facts: Load;
  outcome: Outcome;
}

export interface Kit {
  sets: readonly KitSet[];
  products: readonly Product[];
  lots: readonly Lot[];
  machines: readonly Machine[];
  /** The newest first. */
  cycles: readonly Cycle[];
  rows: KitRows;
}

export function kitAt(book: BookJson, rows: KitRows, now: Date): Kit {
  const facts = loadsOf({
    loads: new Map(rows.kit_load.map(({ id, row }) => [id, row])),
    checks: rows.machine_check.map(({ row }) => row),
  });
  const things = rows.kit_thing.toSorted((a, b) => a.row.card.name.localeCompare(b.row.card.name));
  const kit = {
    sets: [] as KitSet[],
    products: [] as Product[],
    lots: [] as Lot[],
    machines: [] as Machine[],
  };
  for (const { id, row } of things) {
    const { label, card, steps, left } = row;
    if (card.kind === "product") kit.products.push({ id, label, card });
    else if (card.kind === "lot") kit.lots.push({ id, label, card, left: left ?? 0 });
    else if (card.kind === "machine") kit.machines.push({ id, label, card });
    else {
      const standing = standingOf(book.instruments ?? [], { ...row, card }, facts, now);
      kit.sets.push({ id, label, card, steps, standing });
    }
  }
  const cycles = rows.kit_load
    .map(({ id, row }) => cycleOf(id, row, facts))
    .toSorted(latestFirst(({ row }) => row.started_at));
  return { ...kit, cycles, rows };
}

/** The cycles in which a set is, without an end. */
export function runningIn({ sets, cycles }: Pick<Kit, "sets" | "cycles">): Cycle[] {
  const inside = sets.filter(({ standing }) => standing.state === "processing");
  const busy = new Set(inside.map(({ standing }) => standing.load));
  return cycles.filter(({ id }) => busy.has(id));
}

function cycleOf(id: Id, row: RowOf<"kit_load">, facts: ReadonlyMap<Id, Load>): Cycle {
  const of = facts.get(id) ?? { asked: null, faults: [], ends: [], pulled_back: false };
  return { id, row, facts: of, outcome: outcome(of) };
}

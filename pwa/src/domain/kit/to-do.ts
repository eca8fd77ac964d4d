/** What of the kit wants doing now. Of no client: it reads how many visits are booked, and not whose. */
import type { Day, Instant } from "../../wire/types";
import type { BookJson } from "../screening";
import { type DueCheck, dueChecks } from "./due-checks";
import { isOver } from "./facts";
import {
  type Cycle,
  type HeldRow,
  type Kit,
  type KitSet,
  type Lot,
  type Machine,
  type Product,
  runningIn,
} from "./kit";
import { isCalledBack } from "./places";
import type { State } from "./standing";

export interface Short {
  supply: string;
  left: number;
  wanted: number;
}

export interface ToDo {
  /** Packed, and not clean after all. */
  called_back: KitSet[];
  /** The sets that stand so. */
  unclear: KitSet[];
  dirty: KitSet[];
  washed: KitSet[];
  drying: KitSet[];
  /** The cycles in which a set is. */
  running: Cycle[];
  checks: { machine: Machine; due: DueCheck }[];
  /** Out of date, and still there. */
  lots: Lot[];
  products: Product[];
  solutions: HeldRow<"kit_solution">[];
  short: Short[];
}

export interface Moment {
  now: Date;
  today: Day;
  dayOf: (at: Instant) => Day;
  /** How many are booked in the days ahead. */
  visits: number;
}

export function toDo(kit: Kit, book: BookJson, { now, today, dayOf, visits }: Moment): ToDo {
  const inState = (state: State) => kit.sets.filter((set) => set.standing.state === state);
  const due = kit.machines.flatMap((machine) =>
    dueChecks(book.machine_checks ?? [], machine, kit.rows.machine_check, today, dayOf).map(
      (check) => ({ machine, due: check }),
    ),
  );
  return {
    called_back: kit.sets.filter(isCalledBack),
    unclear: inState("unclear"),
    dirty: inState("dirty").filter((set) => !isCalledBack(set)),
    washed: inState("washing"),
    drying: inState("drying"),
    running: runningIn(kit),
    checks: due.filter(({ due: { state } }) => state !== "in_time"),
    lots: kit.lots.filter(({ card, left }) => left > 0 && isOver(card, today)),
    products: kit.products.filter(({ card }) => isOver(card, today)),
    solutions: kit.rows.kit_solution.filter(
      ({ row }) => row.thrown_away_at === null && Date.parse(row.keeps_until) < now.getTime(),
    ),
    short: shortOf(kit.lots, book, today, visits),
  };
}

/** Of each thing that the practice keeps in lots: whether what is in date lasts for these visits. */
function shortOf(lots: readonly Lot[], book: BookJson, today: Day, visits: number): Short[] {
  return (book.supplies ?? []).flatMap(({ id: supply, per_visit }) => {
    const kept = lots.filter(({ card }) => card.supply === supply);
    const usable = kept.filter(({ card, left }) => left > 0 && !isOver(card, today));
    const left = usable.reduce((sum, lot) => sum + lot.left, 0);
    const wanted = per_visit * visits;
    return kept.length > 0 && left < wanted ? [{ supply, left, wanted }] : [];
  });
}

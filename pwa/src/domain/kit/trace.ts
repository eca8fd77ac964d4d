/**
 * From a client to all of the kit that was used on them, and from a set, a lot, a cycle or a machine to every client
 * it reached, as far as this phone holds their records.
 */
import type { Id, Instant } from "../../wire/types";
import { byTime, latestFirst, newest } from "../by-time";
import type { RowOf } from "../rows";
import { isOver, loadsOf } from "./facts";
import type { Cycle, HeldRow, Kit, KitRows, KitSet, Lot, Product } from "./kit";
import { outcome } from "./loads";
import { cyclesBefore } from "./standing";

export type Subject = "set" | "lot" | "product" | "cycle" | "machine";

export interface Traced {
  id: Id;
  row: RowOf<"kit_use">;
  kind: "set" | "lot" | "product" | undefined;
  /** Of the three the one that was used; none where it is not among the kit. */
  set: KitSet | undefined;
  lot: Lot | undefined;
  product: Product | undefined;
  solution: RowOf<"kit_solution"> | undefined;
  cycles: readonly Cycle[];
  /** Why it should not have been used, as was told then or is known now. */
  against: readonly string[];
}

/** All uses, the newest first. */
export function traced(kit: Kit, dayOf: (at: Instant) => string): Traced[] {
  const cycles = new Map(kit.cycles.map((cycle) => [cycle.id, cycle]));
  return kit.rows.kit_use.toSorted(latestFirst(({ row }) => row.used_at)).map(({ id, row }) => {
    const used = {
      set: kit.sets.find((each) => each.id === row.thing),
      lot: kit.lots.find((each) => each.id === row.thing),
      product: kit.products.find((each) => each.id === row.thing),
      solution: kit.rows.kit_solution.find((each) => each.id === row.solution)?.row,
      cycles: cyclesOf(kit, row).flatMap((load) => cycles.get(load) ?? []),
    };
    const at = { moment: row.used_at, day: dayOf(row.used_at) };
    const kind = (used.set ?? used.lot ?? used.product)?.card.kind;
    return {
      id,
      row,
      kind,
      ...used,
      against: [...new Set([...row.flags, ...knownNow(used, at)])],
    };
  });
}

export function ofClient(uses: readonly Traced[], client: Id): Traced[] {
  return uses.filter(({ row }) => row.client === client);
}

/** The check of a machine that failed last. */
export function lastFailed({ rows }: Pick<Kit, "rows">, machine: Id): Id | undefined {
  const failed = rows.machine_check.filter(({ row }) => row.machine === machine && !row.passed);
  return newest(failed, ({ row }) => row.tested_at)?.id;
}

export interface VisitTrace {
  visit: Id;
  /** Of what was used last. */
  at: Instant;
  uses: Traced[];
}

const KINDS = ["set", "lot", "product", undefined] as const;

/** Visit by visit; of each the sets first, since most hangs on them. */
export function byVisit(uses: readonly Traced[]): VisitTrace[] {
  return [...new Set(uses.map(({ row }) => row.visit))].map((visit) => {
    const those = uses.filter(({ row }) => row.visit === visit);
    const at = newest(those, ({ row }) => row.used_at)?.row.used_at ?? "";
    const rank = ({ kind }: Traced) => KINDS.indexOf(kind);
    return { visit, at, uses: those.toSorted((a, b) => rank(a) - rank(b)) };
  });
}

export interface SetOfVisit {
  use: Id;
  set: Id;
  /** None where it is not among the kit. */
  thing: RowOf<"kit_thing"> | undefined;
  /** When its last cycle before this use began; null where none is on record. */
  cycle_at: Instant | null;
  /** It should not have been used, as was told then or is known now. */
  bad: boolean;
}

type VisitKit = Pick<KitRows, "kit_use" | "kit_thing" | "kit_load" | "machine_check">;

/** The sets of a visit, in the order in which they were used; null where nobody could tell of them. */
export function setsOfVisit(
  { kit_use, kit_thing, kit_load, machine_check }: VisitKit,
  visit: HeldRow<"visit">,
): SetOfVisit[] | null {
  const reported = visit.row.record.kit;
  const named = (reported?.sets ?? []).map(({ use }) => use);
  const uses = kit_use.filter(
    ({ id, row }) => row.visit === visit.id && (row.step !== null || named.includes(id)),
  );
  const hasSets = kit_thing.some(({ row }) => row.card.kind === "set");
  if (uses.length === 0 && (reported === undefined || !hasSets)) return null;
  const facts = loadsOf({
    loads: new Map(kit_load.map(({ id, row }) => [id, row])),
    checks: machine_check.map(({ row }) => row),
  });
  return uses.toSorted(byTime(({ row }) => row.used_at)).map(({ id: use, row }) => {
    const thing = kit_thing.find(({ id }) => id === row.thing)?.row;
    const before = cyclesOf({ sets: thing ? [{ id: row.thing, ...thing }] : [] }, row);
    const cycles = kit_load.filter(({ id }) => before.includes(id));
    const last = newest(cycles, ({ row: { started_at } }) => started_at);
    const failed = before.some((id) => {
      const load = facts.get(id);
      return load !== undefined && outcome(load).state === "again";
    });
    const bad = row.flags.length > 0 || failed;
    return { use, set: row.thing, thing, cycle_at: last?.row.started_at ?? null, bad };
  });
}

export interface ClientTrace {
  client: Id;
  uses: Traced[];
}

/** Client by client, in the order of the uses. */
export function byClient(uses: readonly Traced[]): ClientTrace[] {
  return [...new Set(uses.map(({ row }) => row.client))].map((client) => ({
    client,
    uses: ofClient(uses, client),
  }));
}

/** To every client, those with something against them first. */
export function toClients(uses: readonly Traced[], subject: Subject, id: Id): Traced[] {
  return uses
    .filter((use) => reaches(use, subject, id))
    .toSorted((a, b) => Number(b.against.length > 0) - Number(a.against.length > 0));
}

function reaches({ row, cycles }: Traced, subject: Subject, id: Id): boolean {
  if (subject === "cycle") return cycles.some((cycle) => cycle.id === id);
  if (subject === "machine") return cycles.some((cycle) => cycle.row.machine === id);
  return row.thing === id;
}

/** The server names the cycles of a use; of one that it has not seen yet, the set's own steps tell. */
export function cyclesOf(
  { sets }: { sets: readonly Pick<KitSet, "id" | "steps">[] },
  use: RowOf<"kit_use">,
): readonly Id[] {
  if (use.loads.length > 0) return use.loads;
  const steps = sets.find(({ id }) => id === use.thing)?.steps ?? [];
  const step = steps.find(({ id }) => id === use.step);
  return step === undefined ? [] : cyclesBefore(step, steps);
}

function knownNow(
  used: Pick<Traced, "lot" | "product" | "solution" | "cycles">,
  at: { moment: Instant; day: string },
): string[] {
  const { lot, product, solution, cycles } = used;
  const found = cycles.flatMap(({ outcome }) => outcome.reasons);
  if (cycles.some(({ outcome }) => outcome.state === "running")) found.push("cycle_not_done");
  if (lot && isOver(lot.card, at.day)) found.push("lot_out_of_date");
  if (product && isOver(product.card, at.day)) found.push("product_out_of_date");
  if (solution && Date.parse(solution.keeps_until) < Date.parse(at.moment))
    found.push("solution_out_of_date");
  return found;
}

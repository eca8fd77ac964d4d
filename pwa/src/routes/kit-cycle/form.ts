/** The form for a cycle that begins: what it holds, what it still waits for, and the command that it becomes. */
import { latestFirst } from "../../domain/by-time";
import {
  againstProduct,
  askedOfMachine,
  askedOfProduct,
  isMixed,
  mixesOf,
  processesFor,
} from "../../domain/kit/asked";
import type { CommandArgs } from "../../domain/commands";
import { needsOf } from "../../domain/kit/facts";
import {
  type Cycle,
  type HeldRow,
  type Kit,
  type KitSet,
  type Machine,
  type Product,
  runningIn,
} from "../../domain/kit/kit";
import { type Asked, type Level, LEVELS } from "../../domain/kit/loads";
import type { State } from "../../domain/kit/standing";
import type { BookJson } from "../../domain/screening";
import { typedMoment } from "../../parts/moment-field";
import type { Process } from "../../domain/screening/book";
import type { Id } from "../../wire/types";
import type { MessageKey } from "../../words";
import { clockOf, dayKey } from "../../words/format";

export const NEW_CYCLE = "kit-cycle/new";

/**
 * `how` is the machine or the product; `despite`, that a failed check of the machine was read; `day` and `clock`, when
 * it was started: with neither that is now. `washed_before` is what was answered with yes, as `washedAsked` has it.
 */
export function blankCycle() {
  return {
    sets: [] as string[],
    how: "",
    process: "",
    solution: "",
    despite: false,
    day: "",
    clock: "",
    washed_before: "",
    note: "",
  };
}

export type CycleForm = ReturnType<typeof blankCycle>;

/** As it was filled in. */
export function cycleOf(told: CommandArgs["start_load"]): CycleForm {
  return {
    ...blankCycle(),
    sets: told.sets.map(({ set }) => set),
    how: told.machine ?? told.product ?? "",
    process: told.process ?? "",
    solution: told.solution ?? "",
    day: dayKey(told.started_at),
    clock: clockOf(told.started_at),
    note: told.note,
  };
}

const LAST_OF_A_MINUTE_MS = 59_999;
const HOUR_MS = 60 * 60_000;

/**
 * A minute that is typed counts from its end, and where the clocks go back from the second time that it comes:
 * nothing is taken out of a soak sooner for it.
 */
export function startedAt({ day, clock }: CycleForm, now: Date): Date {
  const told = typedMoment(day, clock);
  if (told === null) return now;
  const again = new Date(told.getTime() + HOUR_MS);
  const last = clockOf(again) === clock && again <= now ? again : told;
  return new Date(Math.min(last.getTime() + LAST_OF_A_MINUTE_MS, +now));
}

/** What somebody says of a start that was not now, as far as it cannot be so or may be mistyped. */
export function startOdd(
  form: CycleForm,
  kit: Kit,
  { sets, solution }: Pick<Chosen, "sets" | "solution">,
  now: Date,
) {
  const told = typedMoment(form.day, form.clock);
  if (told === null) return { ahead: false, mixed_at: null, sooner: [] };
  const started = startedAt(form, now).getTime();
  const mix = kit.rows.kit_solution.find(({ id }) => id === solution)?.row.mixed_at ?? null;
  const ahead = told > now;
  const mixed_at = mix !== null && Date.parse(mix) > started ? mix : null;
  const sooner = sets.filter(({ steps, standing }) =>
    steps.some(({ id, at }) => standing.heads.includes(id) && Date.parse(at) > started),
  );
  return {
    ahead,
    /** When its solution was mixed, if that was after. */
    mixed_at,
    /**
     * Those that were washed after, by what this phone knows: somebody may have told that late as well. Only asked
     * about a start that can be.
     */
    sooner: ahead || mixed_at !== null ? [] : sooner,
  };
}

/** Whether these were washed before that start. Another start, or one set more, is another question. */
export function washedAsked({ day, clock }: CycleForm, sooner: readonly KitSet[]): string {
  return [day, clock, ...sooner.map(({ id }) => id)].join(" ");
}

/** Those that a cycle can take: washed since they were used. */
export function washed(kit: Kit): KitSet[] {
  return kit.sets.filter(({ standing }) => standing.state === "washing");
}

/** What the most exacting of them needs. */
export function needsOfAll(book: BookJson, sets: readonly KitSet[]): Level {
  const needs = sets.map(({ card }) => needsOf(book.instruments ?? [], card));
  return LEVELS.findLast((level) => needs.includes(level)) ?? LEVELS[0];
}

export function solutionsOf(kit: Kit, product: Product, now: Date) {
  return mixesOf(kit, product, now).toSorted(latestFirst(({ row }) => row.mixed_at));
}

/** The mixes in which a cycle may be begun. */
export function soaksIn(kit: Kit, now: Date): Set<Id> {
  const mixes = disinfectants(kit, now).flatMap((product) => mixesOf(kit, product, now));
  return new Set(mixes.map(({ id }) => id));
}

/** The products that may disinfect instruments today. */
function disinfectants(kit: Kit, now: Date): Product[] {
  return kit.products.filter(({ card }) => againstProduct(card, dayKey(now)) === null);
}

/** The cycle that is half written, where it is in this mix; one that was left is not what is meant now. */
export function cycleIn(form: CycleForm, { id, row }: HeldRow<"kit_solution">): CycleForm {
  return form.solution === id ? form : { ...blankCycle(), how: row.product, solution: id };
}

/** Likewise, where this set is in it. */
export function cycleWith(form: CycleForm, set: Id): CycleForm {
  return form.sets.includes(set) ? form : { ...blankCycle(), sets: [set] };
}

export interface Into {
  product: Product;
  solution: Id | null;
}

/**
 * Into what a set may go as soon as it is cleaned: nothing where it needs more, or where that does not come next.
 * Of what is mixed, the newest that is good.
 */
export function intosOf({ card, standing }: KitSet, kit: Kit, book: BookJson, now: Date): Into[] {
  const toClean: State[] = ["in_use", "dirty", "unclear"];
  if (!toClean.includes(standing.state)) return [];
  const { products } = waysFor(kit, book, needsOf(book.instruments ?? [], card), now);
  return products.flatMap((product): Into[] =>
    isMixed(product.card)
      ? solutionsOf(kit, product, now)
          .slice(0, 1)
          .map(({ id }) => ({ product, solution: id }))
      : [{ product, solution: null }],
  );
}

/** With what sets that need this may be cleaned. */
export interface Ways {
  machines: readonly Machine[];
  products: readonly Product[];
}

export function waysFor(kit: Kit, book: BookJson, needs: Level, now: Date): Ways {
  return {
    machines: kit.machines.filter(({ card }) => processesFor(book, card.machine, needs).length > 0),
    products: needs === "disinfect" ? disinfectants(kit, now) : [],
  };
}

/** With what it is done, read from the kit as it is now: what is half chosen may be gone meanwhile. */
export interface Chosen {
  sets: KitSet[];
  needs: Level;
  ways: Ways;
  machine: Machine | undefined;
  /** The cycle of that machine that has no end yet: a machine runs one at a time. */
  running: Cycle | undefined;
  process: Process | undefined;
  product: Product | undefined;
  solution: Id | null;
  /** Null while it is not known how. */
  asked: Asked | null;
}

/** Where only one thing will do, it is chosen. */
export function chosenIn(form: CycleForm, kit: Kit, book: BookJson, now: Date): Chosen {
  const sets = washed(kit).filter(({ id }) => form.sets.includes(id));
  const needs = needsOfAll(book, sets);
  const ways = waysFor(kit, book, needs, now);
  const how = pickedOf([...ways.machines, ...ways.products], form.how)?.id;
  const machine = ways.machines.find(({ id }) => id === how);
  const product = ways.products.find(({ id }) => id === how);
  const running = machine && runningIn(kit).find(({ row }) => row.machine === machine.id);
  const process =
    machine && pickedOf(processesFor(book, machine.card.machine, needs), form.process);
  const solution = product && pickedOf(solutionsOf(kit, product, now), form.solution)?.id;
  const asked =
    machine && process
      ? askedOfMachine(book, process, machine.card)
      : product
        ? askedOfProduct(book, product.card)
        : null;
  return {
    ...{ sets, needs, ways, machine, running, process, product, asked },
    solution: solution ?? null,
  };
}

function pickedOf<T extends { id: Id }>(all: readonly T[], id: Id): T | undefined {
  return all.find((each) => each.id === id) ?? (all.length === 1 ? all[0] : undefined);
}

export function cycleLacks(
  form: CycleForm,
  { sets, needs, machine, running, process, product, solution }: Chosen,
  failed: boolean,
  sooner: readonly KitSet[],
): MessageKey[] {
  const by_machine = machine !== undefined || needs === "sterilise";
  const lacks: [MessageKey, boolean][] = [
    ["kit_cycle.lacks_sets", sets.length === 0],
    [
      needs === "sterilise" ? "kit_cycle.lacks_machine" : "kit_cycle.lacks_how",
      machine === undefined && product === undefined,
    ],
    ["kit_cycle.lacks_end", running !== undefined],
    ["kit_cycle.lacks_process", by_machine && process === undefined],
    ["kit_cycle.lacks_despite", machine !== undefined && failed && !form.despite],
    [
      "kit_cycle.lacks_solution",
      product !== undefined && isMixed(product.card) && solution === null,
    ],
    ["kit_cycle.lacks_day", form.day === "" && form.clock !== ""],
    ["kit_cycle.lacks_clock", form.day !== "" && form.clock === ""],
    [
      "kit_cycle.lacks_washed_before",
      sooner.length > 0 && form.washed_before !== washedAsked(form, sooner),
    ],
  ];
  return lacks.filter(([, so]) => so).map(([key]) => key);
}

export function startOf(
  form: CycleForm,
  { sets, machine, process, product, solution, asked }: Omit<Chosen, "needs" | "ways" | "running">,
  now: Date,
  newId: () => string,
): CommandArgs["start_load"] {
  return {
    load: newId(),
    process: process?.id ?? null,
    machine: machine?.id ?? null,
    product: product?.id ?? null,
    solution,
    sets: sets.map(({ id, standing }) => ({
      set: id,
      step: newId(),
      after: [...standing.heads],
    })),
    started_at: startedAt(form, now).toISOString(),
    shown: asked,
    note: form.note.trim(),
  };
}

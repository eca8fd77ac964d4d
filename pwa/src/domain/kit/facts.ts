/** What the rows of a phone tell of a set, a cycle and a lot, in the form that the rules judge. */
import type { Day, Id } from "../../wire/types";
import type { RowOf } from "../rows";
import type { Instrument } from "../screening/book";
import { type Level, LEVELS, type Load } from "./loads";
import { type Check, pulledBack } from "./recalls";
import { type Standing, standing } from "./standing";

export type Thing = RowOf<"kit_thing">;
export type LoadRow = RowOf<"kit_load">;
export type SetCard = Extract<Thing["card"], { kind: "set" }>;
export type ProductCard = Extract<Thing["card"], { kind: "product" }>;
export type LotCard = Extract<Thing["card"], { kind: "lot" }>;
export type MachineCard = Extract<Thing["card"], { kind: "machine" }>;

/** The cycles by id, and the checks of all machines. */
export interface LoadRows {
  loads: ReadonlyMap<Id, LoadRow>;
  checks: Iterable<RowOf<"machine_check">>;
}

/**
 * The cycle that a set needs: that of its most exacting instrument; the strictest where the book does not know one.
 * What is used once is thrown away, and asks for none.
 */
export function needsOf(book: readonly Instrument[], card: SetCard): Level {
  const known = new Map(book.map(({ id, needs }) => [id, needs]));
  const levels = card.instruments
    .map(({ kind }) => known.get(kind) ?? "sterilise")
    .filter((needs) => needs !== "single_use");
  return LEVELS.findLast((level) => levels.includes(level)) ?? LEVELS[0];
}

export function loadsOf({ loads, checks }: LoadRows): Map<Id, Load> {
  const byMachine = new Map<Id, Check[]>();
  for (const { machine, kind, tested_at: at, passed, reaches_back } of checks) {
    const check = { kind, at, passed, reaches_back };
    byMachine.set(machine, [...(byMachine.get(machine) ?? []), check]);
  }
  const facts = [...loads].map(([id, row]): [Id, Load] => {
    const told = byMachine.get(row.machine ?? "") ?? [];
    const { asked, faults, ends, started_at } = row;
    return [id, { asked, faults, ends, pulled_back: pulledBack(started_at, told) }];
  });
  return new Map(facts);
}

export function standingOf(
  book: readonly Instrument[],
  set: Thing & { card: SetCard },
  loads: ReadonlyMap<Id, Load>,
  now: Date,
): Standing {
  return standing(needsOf(book, set.card), set.steps, loads, now);
}

/** What keeps until a day may be used on that day. */
export function isOver({ expires_on }: { expires_on: Day | null }, day: Day): boolean {
  return expires_on !== null && expires_on < day;
}

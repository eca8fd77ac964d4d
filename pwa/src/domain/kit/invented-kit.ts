/** An invented kit for tests: each thing by its id, with what a test says of it. */
import type { RowOf } from "../rows";
import type { LotCard, ProductCard, SetCard } from "./facts";
import type { Cycle, HeldRow, Kit, KitRows, KitSet, Lot, Machine, Product } from "./kit";
import type { State, Step } from "./standing";

const AT = "2026-11-25T08:00:00Z";
const LABEL = "0000-16JD";

export function invented(given: Partial<Kit>, rows: Partial<KitRows> = {}): Kit {
  const none = { kit_thing: [], kit_load: [], kit_solution: [], kit_use: [] };
  return {
    ...{ sets: [], products: [], lots: [], machines: [], cycles: [] },
    ...given,
    rows: { ...none, machine_check: [], checklist: [], ...rows },
  };
}

export function set(
  id: string,
  state: State,
  rest: Partial<KitSet["standing"]> = {},
  instruments: SetCard["instruments"] = [],
  steps: readonly Step[] = [],
): KitSet {
  const standing = { state, heads: [`${id}-last`], reasons: [], until: null, staff: null };
  return {
    ...{ id, label: LABEL, card: { kind: "set", name: id, instruments }, steps: [...steps] },
    standing: { ...standing, load: null, ...rest },
  };
}

export function lot(id: string, supply: string, rest: Partial<LotCard> = {}, left = 50): Lot {
  const card = { kind: "lot", name: id, supply, lot: "A1", expires_on: null, count: 50 } as const;
  return { id, label: LABEL, card: { ...card, ...rest }, left };
}

export function product(id: string, rest: Partial<ProductCard> = {}): Product {
  const told = { active: "", registration: "", batch: "", contact_minutes: 10, expires_on: null };
  const mix = { stock_percent: null, use_ppm: null, mixed_keeps_hours: null };
  const card = { kind: "product", name: id, used_for: "surfaces", ...told, ...mix } as const;
  return { id, label: LABEL, card: { ...card, ...rest } };
}

export function machine(id: string): Machine {
  const told = { serial: "", serviced_on: null, maker_minutes: {} };
  return {
    id,
    label: LABEL,
    card: { kind: "machine", name: id, machine: "steam_vacuum", ...told },
  };
}

export function solution(
  id: string,
  of: string,
  rest: Partial<RowOf<"kit_solution">> = {},
): HeldRow<"kit_solution"> {
  const strength = { stock_percent: 5.25, target_ppm: 5000, volume_ml: 1000 };
  const when = { mixed_at: AT, keeps_until: "2026-11-26T08:00:00Z", thrown_away_at: null };
  return { id, row: { product: of, ...strength, ...when, staff: "me", note: "", ...rest } };
}

export function cycle(
  id: string,
  outcome: Cycle["outcome"],
  rest: Partial<RowOf<"kit_load">> = {},
): Cycle {
  const what = { process: "vacuum_wrapped_132", machine: "m", product: null, solution: null };
  const told = { asked: null, faults: [], sets: [], ends: [], note: "" };
  const by = {
    started_at: AT,
    told_at: AT,
    phone_at: AT,
    heard_at: null,
    device: "d",
    staff: "me",
  };
  const facts = { asked: null, faults: [], ends: [], pulled_back: false };
  return { id, row: { ...what, ...told, ...by, ...rest }, facts, outcome };
}

export function use(
  id: string,
  client: string,
  thing: string,
  rest: Partial<RowOf<"kit_use">> = {},
): HeldRow<"kit_use"> {
  const told = { step: null, solution: null, count: 1, loads: [], flags: [], staff: "me" };
  return { id, row: { client, visit: `${client}-visit`, thing, used_at: AT, ...told, ...rest } };
}

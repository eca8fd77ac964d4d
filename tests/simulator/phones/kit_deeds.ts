/** What is done with the kit: things, steps of a set, cycles, what is used on a client. */
import { drawLabel } from "../../../pwa/src/domain/kit/labels";
import { headsOf } from "../../../pwa/src/domain/kit/standing";
import type { RowOf } from "../../../pwa/src/domain/rows";
import type { Held } from "../../../pwa/src/store/api";
import type { Form, Hand } from "./hand";

type Thing = RowOf<"kit_thing">;
type Kind = Thing["card"]["kind"];
const STEAM = "vacuum_wrapped_132";
const MOVES = [
  "take_out",
  "put_back",
  "soil",
  "wash",
  "wash",
  "pack",
  "pack",
  "reject",
  "lose",
];

const CARDS: Record<Kind, Form> = {
  set: {
    kind: "set",
    name: "Invented set",
    instruments: [{ kind: "nippers" }],
  },
  machine: {
    kind: "machine",
    name: "Invented steriliser",
    machine: "steam_vacuum",
  },
  product: {
    kind: "product",
    name: "Invented wash",
    used_for: "both",
    contact_minutes: 10,
  },
  lot: { kind: "lot", name: "Invented gloves", supply: "gloves", count: 50 },
};

async function things(hand: Hand, kind: Kind): Promise<Held<"kit_thing">[]> {
  return (await hand.rows("kit_thing")).filter(
    ({ row }) => row.card.kind === kind,
  );
}

async function one(hand: Hand, kind: Kind): Promise<Held<"kit_thing"> | null> {
  const all = await things(hand, kind);
  return all.length === 0 ? null : hand.one(all);
}

export function registerThing(hand: Hand): Promise<Form> {
  const label = drawLabel((bytes) => {
    for (let at = 0; at < bytes.length; at += 1) bytes[at] = hand.number(256);
  });
  const kind = hand.one<Kind>(["set", "set", "machine", "product", "lot"]);
  return Promise.resolve({ thing: hand.id(), label, card: filledIn(kind, "") });
}

export async function amendThing(hand: Hand): Promise<Form | null> {
  const all = await hand.rows("kit_thing");
  if (all.length === 0) return null;
  const { id, version, row } = hand.one(all);
  return { thing: id, seen: version, card: filledIn(row.card.kind, " again") };
}

function filledIn(kind: Kind, more: string): Form {
  return { ...CARDS[kind], name: `${String(CARDS[kind]["name"])}${more}` };
}

export async function moveSet(hand: Hand): Promise<Form | null> {
  const set = await one(hand, "set");
  if (set === null) return null;
  const what = hand.one(MOVES);
  const last = set.row.steps.findLast((step) => step.what === "cycle");
  const load = (await hand.rows("kit_load")).find(
    ({ id }) => id === last?.load,
  );
  const end = what === "pack" ? (load?.row.ends.at(-1)?.id ?? null) : null;
  const after = headsOf(set.row.steps);
  return {
    step: hand.id(),
    set: set.id,
    what,
    after,
    end,
    at: hand.time(),
    note: "",
  };
}

export async function startLoad(hand: Hand): Promise<Form | null> {
  const [set, machine] = [await one(hand, "set"), await one(hand, "machine")];
  if (set === null) return null;
  const inside = {
    set: set.id,
    step: hand.id(),
    after: headsOf(set.row.steps),
  };
  const told = {
    load: hand.id(),
    sets: [inside],
    started_at: hand.time(-1),
    note: "",
  };
  return { ...told, process: STEAM, machine: machine?.id ?? null };
}

export async function endLoad(hand: Hand): Promise<Form | null> {
  const loads = await hand.rows("kit_load");
  if (loads.length === 0) return null;
  const { id: load } = hand.one(loads);
  const indicator = hand.one(["passed", "passed", "failed"]);
  const shown = {
    held_minutes: 5,
    celsius: 134,
    indicator,
    interrupted: false,
  };
  return { end: hand.id(), load, ended_at: hand.time(), ...shown, note: "" };
}

export async function mixSolution(hand: Hand): Promise<Form | null> {
  const product = await one(hand, "product");
  if (product === null) return null;
  const strengths = { stock_percent: 5.25, target_ppm: 5000, volume_ml: 1000 };
  const until = { mixed_at: hand.time(), keeps_until: hand.time(8) };
  return {
    solution: hand.id(),
    product: product.id,
    ...strengths,
    ...until,
    note: "",
  };
}

export async function throwAwaySolution(hand: Hand): Promise<Form | null> {
  const mixed = await hand.rows("kit_solution");
  return mixed.length === 0
    ? null
    : { solution: hand.one(mixed).id, at: hand.time() };
}

export async function checkMachine(hand: Hand): Promise<Form | null> {
  const machine = await one(hand, "machine");
  if (machine === null) return null;
  const told = {
    check: hand.id(),
    machine: machine.id,
    kind: "spore_test",
    note: "",
  };
  const at = { tested_at: hand.time(-1), read_at: hand.time() };
  return {
    ...told,
    ...at,
    passed: hand.number(3) > 0,
    shown_reaches_back: true,
  };
}

export async function changeStock(hand: Hand): Promise<Form | null> {
  const lot = await one(hand, "lot");
  if (lot === null) return null;
  return {
    change: hand.id(),
    lot: lot.id,
    by: hand.number(20) - 10,
    at: hand.time(),
    note: "",
  };
}

export function signChecklist(hand: Hand): Promise<Form> {
  const items = { hands_after: hand.one(["done", "not_done", "not_needed"]) };
  const signed = {
    occasion: "on_leaving",
    items,
    signed_at: hand.time(),
    note: "",
  };
  return Promise.resolve({ checklist: hand.id(), ...signed });
}

export async function giveSet(hand: Hand): Promise<Form | null> {
  const begun = (await hand.rows("visit")).filter(
    ({ row }) => row.state === "started",
  );
  const used = await usedSet(hand);
  if (begun.length === 0 || used === null) return null;
  const { id: visit, row } = hand.one(begun);
  return { ...used, visit, client: row.client };
}

/** What a visit's report says was used; often the set that was given. */
export async function kitUsed(hand: Hand, visit: string): Promise<Form> {
  const uses = (await hand.rows("kit_use")).filter(
    ({ row }) => row.visit === visit,
  );
  const [given, lot] = [
    uses.find(({ row }) => row.step !== null),
    await one(hand, "lot"),
  ];
  const asked = await usedSet(hand);
  const again = given && {
    use: given.id,
    set: given.row.thing,
    after: [],
    at: given.row.used_at,
  };
  const set = again ?? (hand.number(3) === 0 ? asked : null);
  const item = lot && {
    use: hand.id(),
    lot: lot.id,
    count: 2,
    at: hand.time(),
  };
  return { sets: set ? [set] : [], items: item ? [item] : [], products: [] };
}

export async function usedSet(hand: Hand): Promise<Form | null> {
  const set = await one(hand, "set");
  if (set === null) return null;
  return {
    use: hand.id(),
    set: set.id,
    after: headsOf(set.row.steps),
    at: hand.time(),
  };
}

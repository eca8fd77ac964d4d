/** What the commands about the kit do to the phone's rows. */
import type { Id, Instant } from "../../wire/types";
import type { KitUsed } from "../commands";
import type { RowOf } from "../rows";
import { beganAt } from "../kit/contact";
import { ranMinutes } from "../kit/loads";
import type { Step } from "../kit/standing";
import { amend, type Change, type Effect, type Made, put } from "./change";

export const registerThing: Effect<"register_thing"> = ({ thing, label, card }) => [
  put(
    "kit_thing",
    thing,
    {
      kind: card.kind,
      label,
      card,
      steps: [],
      left: card.kind === "lot" ? card.count : null,
      counted: [],
    },
    null,
  ),
];

export const amendThing: Effect<"amend_thing"> = ({ thing, card }) => [
  amend("kit_thing", thing, (row) => {
    if (card.kind !== "lot" || row.card.kind !== "lot") return { card };
    return { card, left: (row.left ?? 0) + card.count - row.card.count };
  }),
];

export const moveSet: Effect<"move_set"> = ({ step: id, set, what, after, end, at }, made) => [
  stepOf(set, { id, what, at, staff: made.staff, after, load: null, end }),
];

export const startLoad: Effect<"start_load"> = (args, made) => {
  const { load, process, machine, product, solution, sets, started_at, shown, note } = args;
  const at = { started_at, told_at: made.at, phone_at: started_at, heard_at: null };
  const by = { staff: made.staff, device: made.device, note };
  const what = {
    process: process ?? "",
    machine,
    product,
    solution,
    sets: sets.map((one) => one.set),
  };
  return [
    put("kit_load", load, { ...what, ...at, ...by, asked: shown, faults: [], ends: [] }, null),
    ...sets.map(({ set, step: id, after }) =>
      stepOf(set, { id, what: "cycle", at: started_at, staff: made.staff, after, load, end: null }),
    ),
  ];
};

export const endLoad: Effect<"end_load"> = ({ end: id, load, ...told }, made) => [
  amend("kit_load", load, (row) => {
    if (row.ends.some((end) => end.id === id)) return {};
    const ran_minutes = ranMinutes(beganAt(row, made.device), told.ended_at, null);
    return { ends: [...row.ends, { ...told, id, ran_minutes, staff: made.staff }] };
  }),
];

export const mixSolution: Effect<"mix_solution"> = ({ solution, ...mixed }, { staff }) => [
  put("kit_solution", solution, { ...mixed, staff, thrown_away_at: null }, null),
];

// Two may say so; the earlier one counts.
export const throwAwaySolution: Effect<"throw_away_solution"> = ({ solution, at }) => [
  amend("kit_solution", solution, ({ thrown_away_at: before }) =>
    before !== null && Date.parse(before) <= Date.parse(at) ? {} : { thrown_away_at: at },
  ),
];

export const recordMachineCheck: Effect<"record_machine_check"> = (
  { check, shown_reaches_back: reaches_back, ...told },
  { staff },
) => [put("machine_check", check, { ...told, reaches_back, staff }, null)];

export const changeStock: Effect<"change_stock"> = ({ change, lot, by }) => [
  lessOf(lot, change, -by),
];

export const signChecklist: Effect<"sign_checklist"> = ({ checklist, ...signed }, { staff }) => [
  put("checklist", checklist, { ...signed, staff }, null),
];

export const giveSet: Effect<"give_set"> = ({ visit, client, ...used }, made) =>
  kitUsed({ sets: [used], items: [], products: [] }, { client, visit }, made);

/** What was used on a client; what was given before is on record already. */
export function kitUsed(
  { sets, items, products }: KitUsed = { sets: [], items: [], products: [] },
  of: { client: Id; visit: Id },
  made: Made,
): Change[] {
  const use = (id: Id, used_at: Instant, fields: Partial<RowOf<"kit_use">> & { thing: Id }) =>
    ifNew(id, {
      ...of,
      step: null,
      solution: null,
      count: 1,
      used_at,
      loads: [],
      flags: [],
      staff: made.staff,
      ...fields,
    });
  return [
    ...sets.flatMap(({ use: id, set, after, at }) => [
      use(id, at, { thing: set, step: id }),
      stepOf(set, { id, what: "use", at, staff: made.staff, after, load: null, end: null }),
    ]),
    ...items.flatMap(({ use: id, lot, count, at }) => [
      use(id, at, { thing: lot, count }),
      lessOf(lot, id, count),
    ]),
    ...products.map(({ use: id, product, solution, at }) =>
      use(id, at, { thing: product, solution }),
    ),
  ];
}

/** Two records of one use are one. */
function ifNew(id: Id, row: RowOf<"kit_use">): Change {
  return { kind: "kit_use", id, scope: row.client, becomes: (before) => before ?? { ...row } };
}

/** The server may have counted it already, and the phone not know so yet. */
function lessOf(lot: Id, id: Id, count: number): Change {
  return amend("kit_thing", lot, ({ left, counted }) =>
    counted.includes(id) ? {} : { left: (left ?? 0) - count, counted: [...counted, id] },
  );
}

/** The server may have it already, and the phone not know so yet. */
function stepOf(set: Id, step: Step): Change {
  return amend("kit_thing", set, ({ steps }) => ({
    steps: steps.some(({ id }) => id === step.id) ? steps : [...steps, step],
  }));
}

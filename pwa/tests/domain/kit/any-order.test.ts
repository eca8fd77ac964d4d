/**
 * No order of commands, on any number of phones, with signal or without, lets a phone or the server give a set whose
 * cycle is unfinished; what was used all the same stays. What must hold is asked apart from the rules, as in
 * tests/kit/any_order.py: by plain sets of what each phone knew when it told of a step.
 */
import fc from "fast-check";
import { expect, test } from "vitest";
import type { CommandArgs, CommandName } from "../../../src/domain/commands";
import { type AnyRow, changesOf } from "../../../src/domain/effects";
import { type LoadRow, loadsOf, type Thing } from "../../../src/domain/kit/facts";
import { against, type Standing, standing } from "../../../src/domain/kit/standing";

const PHONES = ["ann", "ben", "cat"] as const;
const SET = "the set";
const STEAM = {
  level: "sterilise",
  minutes: 4,
  celsius: 132,
  indicator: true,
  storage_days: 365,
} as const;
const GOOD = { held_minutes: 4, celsius: 134, indicator: "passed", interrupted: false } as const;
const BAD = [
  { ...GOOD, interrupted: true },
  { ...GOOD, indicator: "failed" },
  { ...GOOD, held_minutes: 1 },
  { ...GOOD, celsius: 120 },
] as const;
const MOVES = ["take_out", "put_back", "soil", "wash", "lose", "bring_back"] as const;
const FLAWS = ["", "", "not washed", "packed early", "not good", "not ended"] as const;

type Rows = Map<string, AnyRow>;
interface Made {
  name: CommandName;
  args: Record<string, unknown>;
  at: string;
  by: string;
}
interface Told {
  what: string;
  knew: ReadonlySet<string>;
  load: string;
  end: string;
}

class World {
  minute = 0;
  count = 0;
  readonly told = new Map<string, Told>();
  readonly ends = new Map<string, { id: string; good: boolean }[]>();
  readonly server: Rows = new Map();
  readonly onServer = new Set<string>();
  readonly used = new Set<string>();
  granted = 0;
  readonly phones = PHONES.map((by) => ({
    by,
    base: new Map() as Rows,
    outbox: [] as Made[],
    /** On the server, and not in the base yet. */
    sent: [] as Made[],
    knew: new Set<string>(),
  }));

  constructor() {
    const card = { kind: "set" as const, name: "Invented", instruments: [] };
    const made = this.made("ann", "register_thing", { thing: SET, label: "", card });
    replay(this.server, made);
    for (const phone of this.phones) phone.base = new Map(this.server);
  }

  made<N extends CommandName>(by: string, name: N, args: Partial<CommandArgs[N]>): Made {
    const at = new Date(Date.UTC(2026, 10, 1) + this.minute * 60_000).toISOString();
    return { name, args, at, by };
  }

  id(): string {
    this.count += 1;
    return `s${String(this.count).padStart(4, "0")}`;
  }
}
type Phone = World["phones"][number];

function replay(rows: Rows, { name, args, at, by }: Made): void {
  const changes = changesOf(name, args, { staff: by, device: by, name: by, at, rulebook: "" });
  for (const { kind, id, becomes } of changes) {
    const key = `${kind}/${id ?? ""}`;
    const row = becomes(rows.get(key) ?? null);
    if (row !== null) rows.set(key, row);
  }
}

function seen(phone: Phone): Rows {
  const rows = new Map(phone.base);
  for (const made of [...phone.sent, ...phone.outbox]) replay(rows, made);
  return rows;
}

function stands(rows: Rows, now: string): Standing {
  const set = rows.get(`kit_thing/${SET}`) as unknown as Thing;
  const loads = [...rows]
    .filter(([key]) => key.startsWith("kit_load/"))
    .map(([key, row]) => [key.slice("kit_load/".length), row as unknown as LoadRow] as const);
  const facts = loadsOf({ loads: new Map(loads), checks: [] });
  return standing("sterilise", set.steps, facts, new Date(now));
}

// What people do.

function tells(world: World, phone: Phone, id: string, told: Partial<Told> & { what: string }) {
  world.told.set(id, { load: "", end: "", ...told, knew: new Set(phone.knew) });
  phone.knew.add(id);
}

function after(world: World, phone: Phone): string[] {
  return [...stands(seen(phone), world.made("", "move_set", {}).at).heads];
}

function moves(world: World, phone: Phone, what: string, end = ""): void {
  const step = world.id();
  const args = { step, set: SET, what: what as "wash", after: after(world, phone), note: "" };
  const made = world.made(phone.by, "move_set", { ...args, end: end === "" ? null : end });
  phone.outbox.push({ ...made, args: { ...made.args, at: made.at } });
  tells(world, phone, step, { what, end });
}

function starts(world: World, phone: Phone): string {
  const [load, step] = [world.id(), world.id()];
  const sets = [{ set: SET, step, after: after(world, phone) }];
  const what = { process: "steam", machine: "m", product: null, solution: null, note: "" };
  const made = world.made(phone.by, "start_load", { load, sets, ...what, shown: STEAM });
  phone.outbox.push({ ...made, args: { ...made.args, started_at: made.at } });
  tells(world, phone, step, { what: "cycle", load });
  return load;
}

function ends(world: World, phone: Phone, load: string, shown: object, good: boolean): string {
  const end = world.id();
  const made = world.made(phone.by, "end_load", { end, load, note: "", ...shown });
  phone.outbox.push({ ...made, args: { ...made.args, ended_at: made.at } });
  world.ends.set(load, [...(world.ends.get(load) ?? []), { id: end, good }]);
  tells(world, phone, end, { what: "end", load });
  return end;
}

/** What a phone would let its owner do; a use that it would not is told all the same where they did it. */
function uses(world: World, phone: Phone, anyway: boolean): void {
  const now = world.made("", "give_set", {}).at;
  const heads = after(world, phone);
  const allowed = against(stands(seen(phone), now), heads, phone.by).length === 0;
  if (!allowed && !anyway) return;
  const use = world.id();
  const used = { use, set: SET, after: heads, at: now };
  if (allowed) {
    mustBeClean(world, use, phone.knew, phone.knew);
    const args = { ...used, visit: `visit ${use}`, client: `client ${use}` };
    phone.outbox.push(world.made(phone.by, "give_set", args));
  }
  const kit = { sets: [used], items: [], products: [] };
  const visit = { visit: `visit ${use}`, client: `client ${use}`, booking: "", ended_early: "" };
  phone.outbox.push(world.made(phone.by, "complete_visit", { ...visit, kit }));
  tells(world, phone, use, { what: "use" });
  world.used.add(use);
}

function sends(world: World, phone: Phone): void {
  for (const made of phone.outbox.splice(0)) {
    if (made.name === "give_set") {
      const { use, after: heads } = made.args as CommandArgs["give_set"];
      if (against(stands(world.server, made.at), heads, made.by).length > 0) continue;
      const knew = world.told.get(use)?.knew ?? new Set();
      mustBeClean(world, use, knew, world.onServer);
      world.granted += 1;
    }
    replay(world.server, made);
    phone.sent.push(made);
    for (const id of idsIn(made)) world.onServer.add(id);
  }
}

function idsIn({ args }: Made): string[] {
  return (JSON.stringify(args).match(/"s\d{4}"/g) ?? []).map((id) => id.slice(1, -1));
}

function looks(world: World, phone: Phone): void {
  sends(world, phone);
  phone.base = new Map(world.server);
  phone.sent = [];
  for (const id of world.onServer) phone.knew.add(id);
}

// What must hold.

/** Of every use that is known `here`: washed, a good cycle and packed since, each known at the next. */
function mustBeClean(
  world: World,
  use: string,
  knew: ReadonlySet<string>,
  here: ReadonlySet<string>,
): void {
  const before = (known: Iterable<string>, what: string) =>
    [...known].filter((id) => world.told.get(id)?.what === what);
  const ways = before(knew, "pack").flatMap((pack) => {
    const packed = world.told.get(pack);
    return before(packed?.knew ?? [], "cycle").flatMap((cycle) => {
      const told = world.told.get(cycle);
      const there = (world.ends.get(told?.load ?? "") ?? []).filter(({ id }) => here.has(id));
      const good = there.every((end) => end.good) && there.some(({ id }) => id === packed?.end);
      return good ? before(told?.knew ?? [], "wash") : [];
    });
  });
  expect(ways.length, `${use} was never through a cycle`).toBeGreaterThan(0);
  for (const other of [...world.used].filter((id) => here.has(id) && id !== use)) {
    const since = ways.some((wash) => world.told.get(wash)?.knew.has(other));
    expect(since, `${use} with no cycle since ${other}`).toBe(true);
  }
}

const action = fc.oneof(
  { weight: 2, arbitrary: fc.record({ do: fc.constant("looks" as const) }) },
  { weight: 1, arbitrary: fc.record({ do: fc.constant("sends" as const) }) },
  {
    weight: 2,
    arbitrary: fc.record({ do: fc.constant("moves" as const), what: fc.constantFrom(...MOVES) }),
  },
  {
    weight: 4,
    arbitrary: fc.record({
      do: fc.constant("whole" as const),
      flaw: fc.constantFrom(...FLAWS),
      bad: fc.constantFrom(...BAD),
      first: fc.constantFrom("looks", "looks", ""),
      then: fc.constantFrom("uses", "sends", ""),
    }),
  },
  { weight: 1, arbitrary: fc.record({ do: fc.constant("ends" as const), good: fc.boolean() }) },
  { weight: 3, arbitrary: fc.record({ do: fc.constant("uses" as const), anyway: fc.boolean() }) },
);

function acts(
  world: World,
  phone: Phone,
  act: typeof action extends fc.Arbitrary<infer A> ? A : never,
) {
  world.minute += 1;
  if (act.do === "looks") looks(world, phone);
  else if (act.do === "sends") sends(world, phone);
  else if (act.do === "moves") moves(world, phone, act.what);
  else if (act.do === "uses") uses(world, phone, act.anyway);
  else if (act.do === "ends") {
    const loads = [...phone.knew].map((id) => world.told.get(id)?.load ?? "").filter(Boolean);
    const load = loads.at(-1);
    if (load !== undefined) ends(world, phone, load, act.good ? GOOD : BAD[1], act.good);
  } else {
    if (act.first === "looks") looks(world, phone);
    if (act.flaw !== "not washed") moves(world, phone, "wash");
    const load = starts(world, phone);
    if (act.flaw === "packed early") moves(world, phone, "pack");
    world.minute += 6;
    if (act.flaw === "not ended") moves(world, phone, "pack");
    else {
      const good = act.flaw !== "not good";
      const end = ends(world, phone, load, good ? GOOD : act.bad, good);
      if (act.flaw !== "packed early") moves(world, phone, "pack", end);
    }
    if (act.then === "uses") uses(world, phone, false);
    if (act.then !== "") sends(world, phone);
  }
}

test("no order of what phones do gives a set before its cycle is done", () => {
  let granted = 0;
  const who = fc.nat({ max: PHONES.length - 1 });
  const day = fc.array(fc.tuple(who, action), { minLength: 5, maxLength: 40 });
  fc.assert(
    fc.property(day, (deeds) => {
      const world = new World();
      for (const [at, act] of deeds) {
        const phone = world.phones[at];
        if (phone) acts(world, phone, act);
      }
      for (const phone of world.phones) sends(world, phone);
      for (const use of world.used) expect(world.server.has(`kit_use/${use}`), use).toBe(true);
      granted += world.granted;
    }),
    { numRuns: 1500 },
  );
  expect(granted).toBeGreaterThan(200);
});

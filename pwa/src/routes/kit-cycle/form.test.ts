/** What a cycle that begins waits for, and what is sent of it. Our own rules (decision 0180). */
import { beforeAll, describe, expect, it } from "vitest";

import type { Kit, KitSet } from "../../domain/kit/kit";
import type { BookJson } from "../../domain/screening";
import { setPlace } from "../../words/format";
import {
  blankCycle,
  chosenIn,
  cycleIn,
  cycleLacks,
  cycleOf,
  cycleWith,
  intosOf,
  needsOfAll,
  soaksIn,
  solutionsOf,
  startedAt,
  startOdd,
  startOf,
  washedAsked,
} from "./form";
import { blankEnd, comesTo, endOf, mostCelsius } from "./end-form";

const NOW = new Date("2026-11-25T12:00:00Z");
const set = (id: string, kind: string, state = "washing") => ({
  id,
  card: { kind: "set", name: id, instruments: [{ kind }] },
  standing: { state, heads: [`washed-${id}`] },
  steps: [{ id: `washed-${id}`, at: "2026-11-25T11:40:00Z" }],
});
const mixed = (id: string, keeps_until: string, more = {}) => ({
  id,
  row: {
    product: "bleach",
    mixed_at: "2026-11-25T11:30:00Z",
    keeps_until,
    target_ppm: 5000,
    thrown_away_at: null,
    ...more,
  },
});
const product = { kind: "product", used_for: "both", contact_minutes: 10, expires_on: null };
const kit = {
  sets: [set("sharp", "nippers"), set("lamp", "lamp"), set("used", "nippers", "dirty")],
  machines: [
    { id: "oven", card: { machine: "dry_heat", maker_minutes: {} } },
    { id: "other oven", card: { machine: "dry_heat", maker_minutes: {} } },
  ],
  products: [
    { id: "bleach", card: { ...product, use_ppm: 5000 } },
    { id: "wipes", card: { ...product, use_ppm: null } },
    { id: "old", card: { ...product, use_ppm: 5000, expires_on: "2026-11-24" } },
    { id: "floors", card: { ...product, use_ppm: 5000, used_for: "surfaces" } },
  ],
  cycles: [],
  rows: {
    kit_solution: [
      mixed("fresh", "2026-11-25T18:00:00Z"),
      mixed("older", "2026-11-25T13:00:00Z", { mixed_at: "2026-11-25T10:00:00Z" }),
      mixed("over", "2026-11-25T11:00:00Z"),
      mixed("weak", "2026-11-25T18:00:00Z", { target_ppm: 500 }),
      mixed("gone", "2026-11-25T18:00:00Z", { thrown_away_at: "2026-11-25T11:00:00Z" }),
      mixed("other", "2026-11-25T18:00:00Z", { product: "another" }),
      mixed("of-old", "2026-11-25T18:00:00Z", { product: "old" }),
      mixed("of-floors", "2026-11-25T18:00:00Z", { product: "floors" }),
    ],
  },
} as unknown as Kit;
const PROCESS = { id: "dry_heat_160", level: "sterilise", machine: "dry_heat", wrapped: false };
const book = {
  settings: { storage_days_wrapped: 365, storage_days_unwrapped: 7 },
  processes: [
    { ...PROCESS, celsius: 160, minutes: 120, indicator: true },
    { ...PROCESS, id: "dry_heat_170", celsius: 170, minutes: 60, indicator: true },
    { ...PROCESS, id: "dry_heat_wash", level: "disinfect", celsius: 90, minutes: 10 },
  ],
  instruments: [
    { id: "nippers", needs: "sterilise" },
    { id: "lamp", needs: "disinfect" },
  ],
} as unknown as BookJson;

beforeAll(() => {
  setPlace({ zone: "Europe/London", units: "mm" }, ["en-GB"]);
});

type Typed = Partial<ReturnType<typeof blankCycle>>;

function lacks(more: Typed, failed = false, all = { kit, book }): string[] {
  const form = { ...blankCycle(), ...more };
  const chosen = chosenIn(form, all.kit, all.book, startedAt(form, NOW));
  const { sooner } = startOdd(form, all.kit, chosen, NOW);
  const keys = cycleLacks(form, chosen, failed, sooner);
  return keys.map((key) => key.replace("kit_cycle.lacks_", ""));
}

describe("a cycle that begins", () => {
  it("takes sets that are washed, and no others", () => {
    expect(lacks({ sets: ["used"], how: "wipes" })).toEqual(["sets"]);
    expect(lacks({ sets: ["used", "lamp"], how: "wipes" })).toEqual([]);
  });

  it("is as strong as the most exacting of them needs", () => {
    const [sharp, lamp] = kit.sets;
    expect(
      needsOfAll(
        book,
        [lamp, sharp].flatMap((one) => one ?? []),
      ),
    ).toBe("sterilise");
    expect(
      needsOfAll(
        book,
        [lamp].flatMap((one) => one ?? []),
      ),
    ).toBe("disinfect");
  });

  it("waits for the program of a machine", () => {
    expect(lacks({ sets: ["sharp"], how: "oven" })).toEqual(["process"]);
    expect(lacks({ sets: ["sharp"], how: "oven", process: "dry_heat_160" })).toEqual([]);
  });

  it("names all that it waits for, and a disinfectant only where one is enough", () => {
    expect(lacks({ sets: ["sharp"] })).toEqual(["machine", "process"]);
    expect(lacks({ sets: ["lamp"] })).toEqual(["how"]);
    expect(lacks({})).toEqual(["sets", "how"]);
    expect(lacks({ sets: ["sharp"], how: "oven" }, true)).toEqual(["process", "despite"]);
  });

  it("is done with what alone will do, as long as nothing else is chosen", () => {
    const [oven] = kit.machines;
    const alone = { kit: { ...kit, machines: oven ? [oven] : [], products: [] }, book };
    const [first, , wash] = book.processes ?? [];
    const once = { ...alone, book: { ...book, processes: first && wash ? [first, wash] : [] } };
    expect(lacks({ sets: ["sharp"] }, false, alone)).toEqual(["process"]);
    expect(lacks({ sets: ["sharp"] }, true, once)).toEqual(["despite"]);
    const form = { ...blankCycle(), sets: ["sharp"] };
    const told = startOf(form, chosenIn(form, once.kit, once.book, NOW), NOW, () => "id");
    expect([told.machine, told.process, told.shown?.minutes]).toEqual([
      "oven",
      "dry_heat_160",
      120,
    ]);
    // For a lamp the weaker program would do as well.
    expect(lacks({ sets: ["lamp"] }, false, once)).toEqual(["process"]);
  });

  it("takes the only mix there is", () => {
    const [fresh] = kit.rows.kit_solution;
    const rows = { ...kit.rows, kit_solution: fresh ? [fresh] : [] };
    const soak = { sets: ["lamp"], how: "bleach" };
    expect(lacks(soak, false, { kit: { ...kit, rows }, book })).toEqual([]);
  });

  it("waits for a word where a check of the machine failed", () => {
    const form = { sets: ["sharp"], how: "oven", process: "dry_heat_160" };
    expect(lacks(form, true)).toEqual(["despite"]);
    expect(lacks({ ...form, despite: true }, true)).toEqual([]);
  });

  it("waits for a solution of what is mixed, and for none of what is ready", () => {
    expect(lacks({ sets: ["lamp"], how: "bleach" })).toEqual(["solution"]);
    expect(lacks({ sets: ["lamp"], how: "bleach", solution: "fresh" })).toEqual([]);
    expect(lacks({ sets: ["lamp"], how: "bleach", solution: "over" })).toEqual(["solution"]);
    expect(lacks({ sets: ["lamp"], how: "wipes" })).toEqual([]);
  });

  it("takes no product that is out of date", () => {
    expect(lacks({ sets: ["lamp"], how: "old" })).toEqual(["how"]);
  });

  it("is offered the solutions that are in date and strong enough, the newest first", () => {
    const bleach = kit.products[0];
    const ids = bleach && solutionsOf(kit, bleach, NOW).map(({ id }) => id);
    expect(ids).toEqual(["fresh", "older"]);
  });

  it("may be begun in each mix that is good for instruments, and in no other", () => {
    expect([...soaksIn(kit, NOW)]).toEqual(["fresh", "older"]);
  });

  it("begun in a mix is in that one alone, and goes on with what is in it already", () => {
    const left = { ...blankCycle(), sets: ["sharp"], how: "oven", note: "Of yesterday" };
    const [fresh] = kit.rows.kit_solution.filter(({ id }) => id === "fresh");
    const form = fresh && cycleIn(left, fresh);
    expect(form).toEqual({ ...blankCycle(), how: "bleach", solution: "fresh" });
    expect(lacks({ ...form, sets: ["lamp"] })).toEqual([]);
    const half = { ...blankCycle(), ...form, sets: ["lamp"], clock: "11:50" };
    expect(fresh && cycleIn(half, fresh)).toEqual(half);
  });

  it("begun with a set holds that one alone, and goes on with what holds it already", () => {
    const left = { ...blankCycle(), sets: ["sharp"], how: "oven", clock: "09:00", note: "Old" };
    expect(cycleWith(left, "lamp")).toEqual({ ...blankCycle(), sets: ["lamp"] });
    const half = { ...left, sets: ["lamp", "sharp"] };
    expect(cycleWith(half, "lamp")).toEqual(half);
  });

  it("waits for the end of what its machine still runs, and no other and no disinfectant", () => {
    const inside = { ...set("in it", "nippers", "processing") };
    const standing = { ...inside.standing, load: "l" };
    const running = {
      ...kit,
      sets: [...kit.sets, { ...inside, standing }],
      cycles: [{ id: "l", row: { machine: "oven" } }],
    } as unknown as Kit;
    const all = { kit: running, book };
    const sharp = { sets: ["sharp"], process: "dry_heat_160" };
    expect(lacks({ ...sharp, how: "oven" }, false, all)).toEqual(["end"]);
    expect(lacks({ ...sharp, how: "other oven" }, false, all)).toEqual([]);
    expect(lacks({ sets: ["lamp"], how: "wipes" }, false, all)).toEqual([]);
    const over = { ...running, sets: kit.sets };
    expect(lacks({ ...sharp, how: "oven" }, false, { kit: over, book })).toEqual([]);
  });

  it("takes no disinfectant for what must be sterilised, whatever was chosen before", () => {
    const soak = { how: "bleach", solution: "fresh" };
    expect(lacks({ sets: ["lamp", "sharp"], ...soak })).toEqual(["machine", "process"]);
    const wash = { sets: ["lamp", "sharp"], how: "oven", process: "dry_heat_wash" };
    expect(lacks(wash)).toEqual(["process"]);
    expect(lacks({ ...wash, sets: ["lamp"] })).toEqual([]);
  });

  it("may begin as soon as a tool is cleaned that needs no more than a disinfectant", () => {
    const into = (kind: string, state: string) =>
      intosOf(set("one", kind, state) as unknown as KitSet, kit, book, NOW).map(
        ({ product: { id }, solution }) => [id, solution],
      );
    const all = [
      ["bleach", "fresh"],
      ["wipes", null],
    ];
    expect(["in_use", "dirty", "unclear"].map((state) => into("lamp", state))).toEqual([
      all,
      all,
      all,
    ]);
    expect(["clean", "out", "washing", "lost"].flatMap((state) => into("lamp", state))).toEqual([]);
    expect(into("nippers", "dirty")).toEqual([]);
  });

  it("is sent with what it must reach, and what the phone knew of each set", () => {
    let made = 0;
    const form = { ...blankCycle(), sets: ["lamp", "used"], how: "bleach", solution: "fresh" };
    const chosen = chosenIn(form, kit, book, NOW);
    const args = startOf(form, chosen, NOW, () => `id-${String((made += 1))}`);
    expect(args).toEqual({
      load: "id-1",
      process: null,
      machine: null,
      product: "bleach",
      solution: "fresh",
      sets: [{ set: "lamp", step: "id-2", after: ["washed-lamp"] }],
      started_at: NOW.toISOString(),
      shown: { level: "disinfect", minutes: 10, celsius: null, indicator: false, storage_days: 7 },
      note: "",
    });
  });
});

describe("a cycle that somebody says had begun before", () => {
  const soak = { sets: ["lamp"], how: "bleach", solution: "fresh", day: "2026-11-25" };
  const started = (clock: string, day = soak.day) => {
    const form = { ...blankCycle(), ...soak, day, clock };
    const chosen = chosenIn(form, kit, book, NOW);
    const { started_at } = startOf(form, chosen, NOW, () => "id");
    const { ahead, mixed_at, sooner } = startOdd(form, kit, chosen, NOW);
    return { started_at, ahead, mixed_at, sooner: sooner.map(({ id }) => id) };
  };
  const fine = { ahead: false, mixed_at: null, sooner: [] };

  it("starts now, where no time is told", () => {
    expect(started("")).toEqual({ started_at: NOW.toISOString(), ...fine });
  });

  it("counts from the end of the minute that is told", () => {
    expect(started("11:50")).toEqual({ started_at: "2026-11-25T11:50:59.999Z", ...fine });
    expect(started("12:00")).toEqual({ started_at: NOW.toISOString(), ...fine });
  });

  it.each([
    ["01:35", "2026-11-01T08:40:00Z", "2026-11-01T08:35:59.999Z"],
    ["01:35", "2026-11-01T09:40:00Z", "2026-11-01T09:35:59.999Z"],
    ["01:45", "2026-11-01T09:40:00Z", "2026-11-01T08:45:59.999Z"],
    ["00:35", "2026-11-01T09:40:00Z", "2026-11-01T07:35:59.999Z"],
  ])("at %s, told at %s, counts the last time that the clock said so", (clock, now, at) => {
    setPlace({ zone: "America/Los_Angeles", units: "mm" }, ["en-US"]);
    const form = { ...blankCycle(), day: "2026-11-01", clock };
    expect(startedAt(form, new Date(now)).toISOString()).toBe(new Date(at).toISOString());
    setPlace({ zone: "UTC", units: "mm" }, ["en-US"]);
  });

  it("cannot lie ahead", () => {
    expect(started("12:01").ahead).toBe(true);
    expect(started("09:00", "2026-11-26").ahead).toBe(true);
  });

  it("cannot have lain in what was mixed later", () => {
    expect(started("11:29").mixed_at).toBe("2026-11-25T11:30:00Z");
    expect(started("11:30").mixed_at).toBeNull();
  });

  it("is asked about where its sets were washed later", () => {
    expect(started("11:39")).toMatchObject({ ahead: false, mixed_at: null, sooner: ["lamp"] });
    expect(started("11:40").sooner).toEqual([]);
  });

  it("names the half of it that is missing, and is not now", () => {
    const wipes = { sets: ["lamp"], how: "wipes" };
    expect(lacks({ ...wipes, clock: "11:50" })).toEqual(["day"]);
    expect(lacks({ ...wipes, day: soak.day })).toEqual(["clock"]);
    expect(lacks({ ...wipes, day: soak.day, clock: "11:50" })).toEqual([]);
  });

  it("waits for a word where its sets were washed later, and anew where it is another start", () => {
    const form = { ...blankCycle(), sets: ["lamp"], how: "wipes", day: soak.day, clock: "11:39" };
    expect(lacks(form)).toEqual(["washed_before"]);
    const lamp = kit.sets.filter(({ id }) => id === "lamp");
    const said = { ...form, washed_before: washedAsked(form, lamp) };
    expect(lacks(said)).toEqual([]);
    expect(lacks({ ...said, clock: "11:38" })).toEqual(["washed_before"]);
    expect(lacks({ ...said, day: "2026-11-24" })).toEqual(["washed_before"]);
    expect(lacks({ ...said, clock: "11:45" })).toEqual([]);
    const more = { sets: ["lamp", "sharp"], how: "oven", process: "dry_heat_160" };
    expect(lacks({ ...said, ...more })).toEqual(["washed_before"]);
  });

  it("is not asked about where it cannot be at all", () => {
    expect(started("11:29").sooner).toEqual([]);
  });

  it("may lie in a solution that was in date then", () => {
    const form = { ...blankCycle(), ...soak, solution: "over" };
    const then = new Date("2026-11-25T10:55:00Z");
    expect(chosenIn(form, kit, book, then).solution).toBe("over");
    expect(chosenIn(form, kit, book, NOW).solution).toBeNull();
  });

  it("keeps its time when it is put right", () => {
    const form = { ...blankCycle(), ...soak, clock: "11:50" };
    const told = startOf(form, chosenIn(form, kit, book, NOW), NOW, () => "id");
    expect(cycleOf(told)).toMatchObject({ day: "2026-11-25", clock: "11:50" });
  });
});

describe("the end of a machine's cycle", () => {
  const asked = { level: "sterilise", minutes: 4, celsius: 132, indicator: true };
  const cycle = {
    row: { started_at: "2026-11-25T11:50:00Z", heard_at: "2026-11-25T11:58:00Z", device: "mine" },
    facts: { asked: { ...asked, storage_days: 365 }, faults: [], ends: [], pulled_back: false },
  } as unknown as Parameters<typeof comesTo>[0];
  const good = { ...blankEnd(), held_minutes: 4, celsius: 132, indicator: "passed" as const };
  const comes = (form: typeof good, device = "mine", of = cycle) =>
    comesTo(of, endOf(form, "load", "end", NOW), device);

  it("is told before it is saved", () => {
    expect(comes(good)).toEqual({ state: "complete", reasons: [] });
    expect(comes({ ...good, held_minutes: 3 }).reasons).toEqual(["too_short"]);
    expect(comes({ ...good, celsius: 131 }).reasons).toEqual(["too_cool"]);
  });

  it("takes no heat that must be a slip: 270 °F typed as °C, where 132 is asked", () => {
    expect([132, null, undefined].map(mostCelsius)).toEqual([172, 300, 300]);
  });

  it("on a phone that is ahead is reckoned by its own clock", () => {
    const ahead = { ...cycle, row: { ...cycle.row, phone_at: "2026-11-25T11:57:00Z" } };
    expect(comes(good, "mine", ahead).reasons).toEqual(["too_short"]);
  });

  it("on another phone is reckoned from when the server heard of the start", () => {
    expect(comes(good, "theirs").reasons).toEqual(["too_short"]);
  });
});

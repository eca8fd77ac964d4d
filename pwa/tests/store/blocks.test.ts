/**
 * Check: our own model, a Map of rows. Whatever pages, cuts and compactions come, and wherever the database
 * fails, the blocks add up to it, and of what was forgotten no version is left.
 */
import fc from "fast-check";
import { IDBObjectStore } from "fake-indexeddb";
import { afterEach, expect, it, vi } from "vitest";

import { openBase } from "../../src/store/blocks";
import { needsGoingThrough, tailToMerge } from "../../src/store/base";
import { compact } from "../../src/store/compaction";
import { openDatabase, putMeta, readMeta, writeStrictly } from "../../src/store/db";
import { Lock, LOCK_SETTINGS } from "../../src/store/lock";
import type { Phone } from "../../src/store/phone";
import { applyPage } from "../../src/store/pull";
import { importKey, open, randomBytes } from "../../src/store/seal";
import type { FeedRow, PullReply } from "../../src/wire/types";
import { databaseName, newId } from "../fakes/phone";

const KINDS = ["client", "booking"];
const IDS = ["a", "b", "c", "d"];
const SCOPES = ["s", "t", "u"];
const NOW = "2026-11-25T08:00:00.000Z";

afterEach(() => {
  vi.restoreAllMocks();
});

async function newPhone(): Promise<Phone> {
  const now = () => new Date(NOW);
  const lock = new Lock(LOCK_SETTINGS, now);
  lock.opened({ key: await importKey(randomBytes(32)), numbers_from: 0 }, "unlocked");
  const db = await openDatabase(databaseName(), () => undefined);
  const fresh = { numbered_after: 0, cursor: null, base: 0, lease: null, last_ok_at: null };
  const rest = { heard: null, gone_through: {}, revoked: false };
  await writeStrictly(db, ["meta"], (tx) =>
    putMeta(tx, "progress", { device: "device-1", ...fresh, ...rest }),
  );
  return {
    db,
    lock,
    now,
    newId,
    rulebookVersion: () => "",
    tellTabs: () => undefined,
    report: () => undefined,
    alone: (work) => work(),
  };
}

const changed = fc.record({
  kind: fc.constantFrom(...KINDS),
  id: fc.constantFrom(...IDS),
  scope: fc.constantFrom(...SCOPES),
  gone: fc.integer({ min: 0, max: 4 }).map((drawn) => drawn === 0),
});

const step = fc.record({
  compact: fc.boolean(),
  reset: fc.integer({ min: 0, max: 15 }).map((drawn) => drawn === 0),
  forget: fc.subarray(SCOPES, { maxLength: 1 }),
  rows: fc.uniqueArray(changed, { maxLength: 4, selector: ({ kind, id }) => `${kind}/${id}` }),
  /** Which write to the blocks fails, if it comes to so many. */
  cutAt: fc.option(fc.integer({ min: 1, max: 4 }), { nil: null }),
});

type Step = typeof step extends fc.Arbitrary<infer T> ? T : never;

class Trial {
  readonly model = new Map<string, FeedRow>();
  #version = 0;

  constructor(readonly phone: Phone) {}

  async take(taken: Step): Promise<void> {
    const page = this.#page(taken);
    const before = await readMeta(this.phone.db, "progress");
    if (before === undefined) throw new Error("no progress");
    const done = await failingAt(taken.cutAt, async () => applyPage(this.phone, before, page));
    const after = await readMeta(this.phone.db, "progress");
    if (done) this.#apply(page);
    expect(after?.cursor).toBe(done ? page.cursor : before.cursor);
    if (taken.compact) await failingAt(taken.cutAt, () => compact(this.phone));
  }

  #page({ reset, forget, rows }: Step): PullReply {
    const feed = rows.map(({ kind, id, scope, gone }): FeedRow => {
      this.#version += 1;
      const row = gone ? null : { text: `${scope} of version ${this.#version}` };
      return { kind, id, scope, version: this.#version, row };
    });
    const cursor = newId();
    const rest = { device: "device-1", more: false, next_seq: 1, now: NOW, lease_seconds: 60 };
    return { cursor, reset, forget, rows: feed, heard: "", lost: false, ...rest };
  }

  #apply({ reset, forget, rows }: PullReply): void {
    if (reset) this.model.clear();
    for (const [name, { scope }] of this.model) if (forget.includes(scope)) this.model.delete(name);
    for (const row of rows) {
      const name = `${row.kind}/${row.id}`;
      if (row.row === null) this.model.delete(name);
      else this.model.set(name, row);
    }
  }
}

/** Runs `work` with the nth write to the blocks failing. Returns whether it came through. */
async function failingAt(nth: number | null, work: () => Promise<unknown>): Promise<boolean> {
  let writes = 0;
  for (const name of ["put", "delete", "clear"] as const) {
    const real = Object.getOwnPropertyDescriptor(IDBObjectStore.prototype, name)
      ?.value as () => IDBRequest<undefined>;
    vi.spyOn(IDBObjectStore.prototype, name).mockImplementation(function (
      this: IDBObjectStore,
      ...given
    ) {
      if (this.name === "blocks" && (writes += 1) === nth) throw new DOMException("cut", "Cut");
      return Reflect.apply(real, this, given);
    } as typeof real);
  }
  try {
    await work();
    return true;
  } catch {
    return false;
  } finally {
    vi.restoreAllMocks();
  }
}

async function shown(phone: Phone): Promise<Map<string, FeedRow>> {
  const bases = await Promise.all(KINDS.map((kind) => openBase(phone, kind)));
  const rows = bases.flatMap((base) => [...base.values()]);
  return new Map(rows.map((row) => [`${row.kind}/${row.id}`, row]));
}

/** Every version of every row that the key still opens. */
async function allVersions(phone: Phone): Promise<FeedRow[]> {
  const blocks = await phone.db.getAll("blocks");
  const opened = await Promise.all(
    blocks.map(async (block) => {
      const place = ["blocks", block.kind, block.number, block.rows];
      const rows = (await open(phone.lock.key(), place, block)) as FeedRow[];
      expect(rows).toHaveLength(block.rows);
      return rows;
    }),
  );
  return opened.flat();
}

async function steady(phone: Phone, rows: readonly Partial<FeedRow>[], more: Partial<PullReply>) {
  const before = await readMeta(phone.db, "progress");
  if (before === undefined) throw new Error("no progress");
  const full = rows.map((row, at) => ({
    kind: "client",
    id: "a",
    scope: "s",
    version: at,
    row: { text: "x" },
    ...row,
  }));
  const said = { next_seq: 1, heard: "", lost: false };
  const usual = { cursor: newId(), reset: false, forget: [], more: false, ...said };
  const page = { device: "device-1", rows: full, now: NOW, lease_seconds: 60, ...usual, ...more };
  return applyPage(phone, before, page);
}

it("blocks add up to a Map of rows, whatever comes and wherever it is cut", async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(step, { minLength: 1, maxLength: 80, size: "max" }),
      async (steps) => {
        const trial = new Trial(await newPhone());
        for (const taken of steps) await trial.take(taken);
        expect(await shown(trial.phone)).toEqual(trial.model);
      },
    ),
    { numRuns: 100 },
  );
}, 120_000);

it("of a forgotten scope and of a removed row no version is left", async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(step, { minLength: 1, maxLength: 25 }), async (steps) => {
      const trial = new Trial(await newPhone());
      for (const taken of steps) await trial.take({ ...taken, cutAt: null });
      const rows = KINDS.map((kind) => ({ kind, id: "a", row: null }));
      await steady(trial.phone, rows, { forget: ["s"] });
      const left = await allVersions(trial.phone);
      expect(left.filter(({ id, scope }) => id === "a" || scope === "s")).toEqual([]);
    }),
    { numRuns: 40 },
  );
}, 120_000);

it("a row that moved stays when its old scope is forgotten in the same page", async () => {
  const phone = await newPhone();
  await steady(phone, [{ id: "a", scope: "s" }], {});
  await steady(phone, [{ id: "a", scope: "t" }], { forget: ["s"] });
  expect((await openBase(phone, "client")).get("a")).toMatchObject({ scope: "t" });
  expect(await allVersions(phone)).toHaveLength(1);
});

it("a row that moved into a scope does not come back under the old one when that is forgotten", async () => {
  const phone = await newPhone();
  await steady(phone, [{ id: "a", scope: "t" }], {});
  await steady(phone, [{ id: "a", scope: "s" }], {});
  await steady(phone, [], { forget: ["s"] });
  expect(await allVersions(phone)).toEqual([]);
});

it("many small blocks become one, which keeps the newest version of each row", async () => {
  const phone = await newPhone();
  for (let at = 0; at < 40; at += 1) {
    await steady(phone, [{ id: `r${at % 3}`, row: { text: `version ${at}` } }], {});
    await compact(phone);
  }
  expect(await phone.db.count("blocks")).toBeLessThanOrEqual(17);
  const texts = [...(await openBase(phone, "client")).values()].map(({ row }) => row?.["text"]);
  expect(texts.sort()).toEqual(["version 37", "version 38", "version 39"]);
});

it("a page that was asked for before somebody else wrote is not written", async () => {
  const phone = await newPhone();
  const before = await readMeta(phone.db, "progress");
  if (before === undefined) throw new Error("no progress");
  await steady(phone, [{ id: "a" }], {});
  const stale = { device: "device-1", cursor: "stale", reset: true, forget: [], rows: [] };
  const page = {
    ...stale,
    more: false,
    next_seq: 1,
    heard: "",
    lost: false,
    now: NOW,
    lease_seconds: 60,
  };
  expect(await applyPage(phone, before, page)).toBeNull();
  expect((await openBase(phone, "client")).size).toBe(1);
});

it("small blocks at the end of a kind stay few, and a row is rarely written anew", () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 1, max: 12 }), { minLength: 400, maxLength: 800 }),
      (arrivals) => {
        const sizes = Array.from({ length: 200 }, () => 500);
        let written = 0;
        for (const rows of arrivals) {
          sizes.push(rows);
          const tail = sizes.splice(sizes.length - tailToMerge(sizes));
          const sum = tail.reduce((total, one) => total + one, 0);
          written += sum;
          for (let left = sum; left > 0; left -= 500) sizes.push(Math.min(left, 500));
          expect(sizes.filter((one) => one < 250).length).toBeLessThanOrEqual(18);
        }
        const arrived = arrivals.reduce((total, one) => total + one, 0);
        // Nothing of the 100,000 rows before them is touched.
        expect(sizes.slice(0, 200).every((one) => one === 500)).toBe(true);
        expect(written).toBeLessThanOrEqual(6 * arrived);
      },
    ),
    { numRuns: 50 },
  );
});

it("a kind is gone through again when it holds twice the rows of the last time", () => {
  expect(needsGoingThrough(2000, 1000)).toBe(false);
  expect(needsGoingThrough(2001, 1000)).toBe(true);
});

it("rows that were changed over and over do not pile up", async () => {
  const phone = await newPhone();
  for (let round = 0; round < 12; round += 1) {
    const rows = Array.from({ length: 300 }, (_, at) => ({ id: `r${at}`, row: { round } }));
    await steady(phone, rows, {});
    await compact(phone);
  }
  expect(await openBase(phone, "client")).toHaveProperty("size", 300);
  expect((await allVersions(phone)).length).toBeLessThanOrEqual(1000);
});

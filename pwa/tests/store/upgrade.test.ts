/** Check: our own rule. An update of the app loses nothing, whatever layout it finds, and needs no connection. */
import fc from "fast-check";
import { IDBDatabase as Database, IDBObjectStore, IDBTransaction } from "fake-indexeddb";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";

import { HttpFault } from "../../src/wire/http";
import type { PhoneStore } from "../../src/store/phone_store";
import { openBytes, seal } from "../../src/store/seal";
import { unwrapRecordKey, type WrappedKey } from "../../src/store/passphrase";
import {
  clientCard,
  databaseName,
  freshPhone,
  openPhone,
  PASSPHRASE,
  valueOf,
} from "../fakes/phone";
import { FakeServer } from "../fakes/server";

const REFUSAL = { code: "double_booked", field: "starts_at", text: "Taken.", remedy: "Choose." };

let server: FakeServer;
let database: string;

beforeEach(() => {
  server = new FakeServer();
  database = databaseName();
});

afterEach(() => {
  vi.restoreAllMocks();
});

const offline = () => new HttpFault("no_connection", 0);

/** Two base rows; one entry refused, one applied, two not sent; one form half written. */
async function worked(): Promise<void> {
  const phone = await freshPhone(server, database);
  server.put("client", "c-1", { ...clientCard("Base One", "c-1") });
  server.put("client", "c-2", { ...clientCard("Base Two", "c-2") });
  server.refuse.set("cancel_booking", REFUSAL);
  await phone.issue("cancel_booking", { booking: "b", seen: 1, reason: "In hospital" });
  await phone.issue("register_client", clientCard("Sent"));
  await phone.syncNow();
  await phone.syncNow();
  server.faults.push(...Array.from({ length: 50 }, offline));
  server.pullFault = offline();
  await phone.issue("register_client", clientCard("Ada"));
  await phone.issue("register_client", clientCard("Ben"));
  phone.drafts.save("screen/c-1", { answers: { diabetes: true } });
  await phone.drafts.flush();
  await phone.syncNow();
  phone.lock();
}

async function updated(layout: 1 | 2): Promise<PhoneStore> {
  const phone = openPhone(server, await asLayout(layout, database));
  await phone.start();
  return phone;
}

async function names(on: PhoneStore): Promise<string[]> {
  return (await on.rows.all("client")).map(({ row }) => row.name).sort();
}

describe.each([1, 2] as const)("from layout %i", (layout) => {
  it("everything is counted before the unlock, and shown after it, without a connection", async () => {
    await worked();
    const phone = await updated(layout);
    expect(await phone.unsentWork()).toMatchObject({ entries: 3, forms: 1 });
    await phone.unlock(PASSPHRASE);
    expect(await names(phone)).toEqual(["Ada", "Base One", "Base Two", "Ben", "Sent"]);
    expect(valueOf(phone.attention)).toMatchObject([{ refusal: REFUSAL }]);
    expect(await phone.drafts.load("screen/c-1")).toEqual({ answers: { diabetes: true } });
  });

  it("the rows lie in blocks after the first unlock, and one by one no more", async () => {
    await worked();
    const phone = await updated(layout);
    await phone.unlock(PASSPHRASE);
    const db = await opened(indexedDB.open(`${database}-${layout}`));
    const count = (store: string) => opened(db.transaction(store).objectStore(store).count());
    expect(await count("rows")).toBe(0);
    expect(await count("blocks")).toBe(1);
    db.close();
  });

  it("numbers go on without a gap, and what was not sent arrives once and in order", async () => {
    await worked();
    const phone = await updated(layout);
    await phone.unlock(PASSPHRASE);
    await phone.issue("register_client", clientCard("Cy"));
    server.faults.length = 0;
    server.pullFault = null;
    await phone.syncNow();
    const sent = server.received.map(({ seq, args }) => [seq, args["name"]]);
    expect(sent.slice(1)).toEqual([
      [2, "Sent"],
      [3, "Ada"],
      [4, "Ben"],
      [5, "Cy"],
    ]);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, refused: 1, state: "idle" });
  });

  it("a number goes on where all was sent before", async () => {
    const phone = await freshPhone(server, database);
    await phone.issue("register_client", clientCard("Sent"));
    await phone.syncNow();
    phone.lock();
    const again = await updated(layout);
    await again.unlock(PASSPHRASE);
    await again.issue("register_client", clientCard("Next"));
    await again.syncNow();
    expect(server.received.map(({ seq }) => seq)).toEqual([1, 2]);
  });
});

it("cut anywhere, any number of times, is done in the end and has lost nothing", async () => {
  await worked();
  await fc.assert(
    fc.asyncProperty(
      fc.constantFrom<1 | 2>(1, 2),
      fc.array(fc.integer({ min: 1, max: 30 }), { minLength: 1, maxLength: 3 }),
      async (layout, cuts) => {
        const name = await asLayout(layout, database, `-cut-${(trials += 1)}`);
        for (const nth of cuts) await cutAt(nth, () => used(name));
        const phone = await used(name);
        expect(await names(phone)).toEqual(["Ada", "Base One", "Base Two", "Ben", "Sent"]);
        expect(valueOf(phone.attention)).toMatchObject([{ refusal: REFUSAL }]);
        expect(await phone.drafts.load("screen/c-1")).toEqual({ answers: { diabetes: true } });
        const db = await opened(indexedDB.open(name));
        const all = (store: string) => opened(db.transaction(store).objectStore(store).getAll());
        expect((await all("outbox")).map(({ number }: Numbered) => number)).toEqual([3, 4]);
        expect(await all("rows")).toEqual([]);
        expect((await all("blocks")).map(({ rows }: Sealed) => rows)).toEqual([3]);
        db.close();
        phone.lock();
      },
    ),
    { numRuns: 8 },
  );
}, 120_000);

let trials = 0;

/** The app is opened and unlocked, and closed by whatever goes wrong. */
async function used(name: string): Promise<PhoneStore> {
  const phone = openPhone(server, name);
  await phone.start();
  await phone.unlock(PASSPHRASE);
  return phone;
}

/** Runs `work` with everything from the nth change of the database on failing: writes, stores, and commits. */
async function cutAt(nth: number, work: () => Promise<PhoneStore>): Promise<void> {
  let changes = 0;
  const cut = (on: object, name: string) => {
    const real = Object.getOwnPropertyDescriptor(on, name)?.value as () => unknown;
    vi.spyOn(on as Record<string, () => unknown>, name).mockImplementation(function (
      this: unknown,
      ...given: []
    ) {
      if ((changes += 1) >= nth) throw new DOMException("cut", "AbortError");
      return Reflect.apply(real, this, given);
    });
  };
  for (const name of ["put", "add", "delete", "clear", "createIndex"])
    cut(IDBObjectStore.prototype, name);
  for (const name of ["createObjectStore", "deleteObjectStore"]) cut(Database.prototype, name);
  const committing = Object.getOwnPropertyDescriptor(IDBTransaction.prototype, "commit")
    ?.value as () => void;
  vi.spyOn(IDBTransaction.prototype, "commit").mockImplementation(function (this: IDBTransaction) {
    if ((changes += 1) >= nth) this.abort();
    else Reflect.apply(committing, this, []);
  });
  try {
    const phone = await work();
    await phone.syncNow();
    phone.lock();
  } catch {
    // It was cut.
  } finally {
    vi.restoreAllMocks();
  }
}

/** The same content in a database as an earlier version of the app made it. */
async function asLayout(layout: 1 | 2, name: string, as = ""): Promise<string> {
  const made = `${name}-${layout}${as}`;
  const from = await opened(indexedDB.open(name));
  const older = indexedDB.open(made, layout);
  older.onupgradeneeded = () => {
    const db = older.result;
    db.createObjectStore("rows", { keyPath: ["kind", "id"] }).createIndex("scope", "scope");
    db.createObjectStore("outbox", { keyPath: "seq" });
    db.createObjectStore("settled", { keyPath: "id" }).createIndex("status", "status");
    db.createObjectStore("drafts", { keyPath: "key" });
    db.createObjectStore("meta");
    if (layout === 2) db.createObjectStore("set_aside", { keyPath: "id" });
  };
  const to = await opened(older);
  const all = (store: string) => opened(from.transaction(store).objectStore(store).getAll());
  const put = (store: string, value: unknown, key?: string) =>
    opened(to.transaction(store, "readwrite").objectStore(store).put(value, key));
  const key = await recordKey(from);
  for (const row of await oldRows(key, (await all("blocks")) as Sealed[])) await put("rows", row);
  for (const command of (await all("outbox")) as Numbered[]) await put("outbox", old(command));
  for (const command of (await all("settled")) as Numbered[])
    await put("settled", await oldSettled(key, command));
  for (const draft of await all("drafts")) await put("drafts", draft);
  await copyMeta(from, put);
  to.close();
  from.close();
  return made;
}

interface Sealed {
  kind: string;
  number: number;
  rows: number;
  iv: Uint8Array<ArrayBuffer>;
  ct: Uint8Array<ArrayBuffer>;
}
type Numbered = Omit<Sealed, "kind" | "rows"> & { id: string; answer?: Sealed | null };

async function copyMeta(
  from: IDBDatabase,
  put: (store: string, value: unknown, key: string) => Promise<unknown>,
): Promise<void> {
  const meta = from.transaction("meta").objectStore("meta");
  const [keys, values] = await Promise.all([opened(meta.getAllKeys()), opened(meta.getAll())]);
  for (const [at, value] of (values as Record<string, unknown>[]).entries()) {
    const key = keys[at] as string;
    if (key === "numbers_from") continue;
    await put("meta", key === "progress" ? await oldProgress(from, value) : value, key);
  }
}

async function oldProgress(from: IDBDatabase, progress: Record<string, unknown>) {
  const numbers = [];
  for (const store of ["outbox", "settled"]) {
    const all = await opened(from.transaction(store).objectStore(store).getAll());
    numbers.push(...(all as Numbered[]).map(({ number }) => number));
  }
  const { device, cursor, last_ok_at, revoked, numbered_after } = progress;
  const next_seq = Math.max(...numbers) - (numbered_after as number) + 1;
  return { device, next_seq, cursor, epoch: "epoch-1", last_ok_at, revoked };
}

async function recordKey(from: IDBDatabase): Promise<CryptoKey> {
  const wrapped = from.transaction("meta").objectStore("meta").get("wrapped_key");
  return unwrapRecordKey(PASSPHRASE, await opened(wrapped as IDBRequest<WrappedKey>));
}

async function openJson<T>(key: CryptoKey, place: unknown[], box: Sealed): Promise<T> {
  const aad = new TextEncoder().encode(JSON.stringify(["heelwright-box-1", ...place]));
  return JSON.parse(new TextDecoder().decode(await openBytes(key, aad, box))) as T;
}

interface Row {
  kind: string;
  id: string;
  scope: string;
  version: number;
  row: unknown;
}

async function oldRows(key: CryptoKey, blocks: Sealed[]): Promise<unknown[]> {
  const rows = [];
  for (const block of blocks) {
    const place = ["blocks", block.kind, block.number, block.rows];
    for (const { row, ...lying } of await openJson<Row[]>(key, place, block)) {
      const { kind, id, scope, version } = lying;
      rows.push({ ...lying, ...(await seal(key, ["rows", kind, id, scope, version], row)) });
    }
  }
  return rows;
}

/** This phone has had one device number and one key only, so its numbers are counted from the first. */
function old({ number, ...command }: Numbered) {
  return { ...command, seq: (number % 2 ** 32) - 1 };
}

async function oldSettled(key: CryptoKey, command: Numbered): Promise<unknown> {
  const { answer, ...rest } = old(command);
  const made = await openJson<object>(key, ["commands", command.id], command as never);
  const said = answer
    ? await openJson<object>(key, ["answers", command.id], answer)
    : { refusal: null, incidents: [] };
  return { ...rest, ...(await seal(key, ["commands", command.id], { ...made, ...said })) };
}

function opened<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => {
      resolve(request.result);
    };
    request.onerror = () => {
      reject(new Error("cannot open"));
    };
  });
}

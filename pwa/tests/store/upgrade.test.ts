/** Check: our own rule. An update of the app loses nothing, whatever layout it finds, and needs no connection. */
import { beforeEach, describe, expect, it } from "vitest";

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

/** The same content in a database as an earlier version of the app made it. */
async function asLayout(layout: 1 | 2, name: string): Promise<string> {
  const from = await opened(indexedDB.open(name));
  const older = indexedDB.open(`${name}-${layout}`, layout);
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
  return `${name}-${layout}`;
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

/** This phone has had one device number only, so its numbers are counted from the first. */
function old({ number, ...command }: Numbered) {
  return { ...command, seq: number - 1 };
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

import { IDBObjectStore } from "fake-indexeddb";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";

import type { PhoneStore } from "../../src/store/phone_store";
import { HttpFault } from "../../src/wire/http";
import {
  Clock,
  clientCard,
  databaseName,
  freshPhone,
  newId,
  reopen,
  valueOf,
} from "../fakes/phone";
import { FakeServer } from "../fakes/server";

type Put = IDBObjectStore["put"];

let server: FakeServer;
let database: string;
let phone: PhoneStore;
let clock: Clock;

beforeEach(async () => {
  server = new FakeServer();
  database = databaseName();
  clock = new Clock();
  phone = await freshPhone(server, database, clock);
});

afterEach(() => {
  vi.restoreAllMocks();
});

function putClient(name: string, id = newId()): string {
  server.put("client", id, { ...clientCard(name, id) });
  return id;
}

async function names(on: PhoneStore = phone): Promise<string[]> {
  return (await on.rows.all("client")).map(({ row }) => row.name).sort();
}

describe("a pull", () => {
  it("brings rows page by page, and they are there after a reload without a connection", async () => {
    server.pageSize = 3;
    for (let at = 0; at < 10; at += 1) putClient(`c${at}`);
    await phone.syncNow();
    server.pullFault = new HttpFault("no_connection", 0);
    expect(await names(await reopen(server, database))).toHaveLength(10);
  });

  it("of which half was written changes nothing, cursor included", async () => {
    putClient("first");
    await phone.syncNow();
    const real = Object.getOwnPropertyDescriptor(IDBObjectStore.prototype, "put")?.value as Put;
    let rows = 0;
    vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(function (
      this: IDBObjectStore,
      ...given
    ) {
      if (this.name === "blocks" && (rows += 1) === 2) throw new DOMException("cut", "AbortError");
      return Reflect.apply(real, this, given);
    });
    for (const name of ["second", "third", "fourth"]) putClient(name);
    server.put("booking", newId(), { client: "none" });
    await phone.syncNow();
    expect(await names()).toEqual(["first"]);
    const again = await reopenOffline();
    expect(await names(again)).toEqual(["first"]);
    // Its own try to pull is over before there is a connection.
    await again.syncNow();
    again.lock();
    vi.restoreAllMocks();
    server.pullFault = null;
    await phone.syncNow();
    expect(await names()).toEqual(["first", "fourth", "second", "third"]);
  });

  it("removes rows, forgets scopes, and never the outbox or a draft", async () => {
    const gone = putClient("gone");
    const left = putClient("left");
    server.put("booking", newId(), { client: left }, left);
    await phone.syncNow();
    expect(await phone.rows.all("booking")).toHaveLength(1);
    server.faults.push(...Array.from({ length: 5 }, () => new HttpFault("no_connection", 0)));
    await phone.issue("register_client", clientCard("mine"));
    phone.drafts.save("half", { typed: "so far" });
    server.put("client", gone, null);
    server.forget = [left];
    await phone.syncNow();
    server.faults.length = 0;
    server.faults.push("before");
    await pullOnly();
    expect(await names()).toEqual(["mine"]);
    expect(await phone.rows.all("booking")).toEqual([]);
    expect(await phone.drafts.load("half")).toEqual({ typed: "so far" });
    expect(valueOf(phone.syncState).pending).toBe(0);
  });

  it("that resets drops base rows and keeps pending commands on top", async () => {
    putClient("old");
    await phone.syncNow();
    server.feed.clear();
    putClient("new");
    server.reset = true;
    await phone.syncNow();
    expect(await names()).toEqual(["new"]);
    expect(await names(await reopenOffline())).toEqual(["new"]);
  });

  it("of a restored server sends again what that server does not know any more", async () => {
    await phone.issue("register_client", clientCard("Ada"));
    await phone.issue("register_client", clientCard("Ben"));
    await phone.syncNow();
    await phone.syncNow();
    const device = valueOf(phone.session).device ?? "";
    server.receipts.delete(`${device}/2`);
    server.received.pop();
    for (const [key, row] of server.feed) if (row.row?.["name"] === "Ben") server.feed.delete(key);
    server.reset = true;
    await phone.syncNow();
    expect(server.received.map(({ args }) => args["name"])).toEqual(["Ada", "Ben"]);
    expect(await names()).toEqual(["Ada", "Ben"]);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, state: "idle" });
  });

  it("believes no receipt of a history that was given up for another backup", async () => {
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    const first = server.backUp();
    await phone.issue("register_client", clientCard("Ben"));
    await phone.syncNow();
    const second = server.backUp();
    first();
    await phone.syncNow();
    await phone.issue("register_client", clientCard("Cid"));
    await phone.syncNow();
    second();
    await phone.issue("register_client", clientCard("Dot"));
    await phone.syncNow();
    expect(server.received.map(({ args }) => args["name"])).toEqual(["Ada", "Ben", "Cid", "Dot"]);
    expect(await names()).toEqual(["Ada", "Ben", "Cid", "Dot"]);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, state: "idle" });
  });

  it("that broke off half way is not in step", async () => {
    const before = valueOf(phone.syncState).last_ok_at;
    clock.pass(60);
    server.pageSize = 2;
    for (const name of ["a", "b", "c"]) putClient(name);
    const pull = server.pull.bind(server);
    let pages = 0;
    vi.spyOn(server, "pull").mockImplementation((as, cursor, heard) =>
      (pages += 1) === 2
        ? Promise.reject(new HttpFault("no_connection", 0))
        : pull(as, cursor, heard),
    );
    await phone.syncNow();
    expect(await names()).toEqual(["a", "b"]);
    await reread();
    expect(valueOf(phone.syncState)).toMatchObject({ state: "offline", last_ok_at: before });
    await phone.syncNow();
    expect(valueOf(phone.syncState).last_ok_at).toBe(clock.now().toISOString());
  });

  it("leaves the phone as a fresh pull would", async () => {
    for (let at = 0; at < 5; at += 1) putClient(`c${at}`);
    const card = clientCard("mine");
    await phone.issue("register_client", card);
    await phone.issue("amend_client", { client: card.client, seen: 0, changes: { room: "3" } });
    await phone.syncNow();
    await phone.syncNow();
    const fresh = await freshPhone(server);
    const byId = (one: { id: string }, other: { id: string }) => (one.id < other.id ? -1 : 1);
    const here = [...(await phone.rows.all("client"))].sort(byId);
    expect(here).toEqual([...(await fresh.rows.all("client"))].sort(byId));
    expect(here.every(({ pending }) => !pending)).toBe(true);
  });
});

describe("live rows", () => {
  it("tell of issue and of pull, and fall silent when locked", async () => {
    const seen: (number | null)[] = [];
    const stop = phone.rows.live("client").subscribe((held) => seen.push(held?.length ?? null));
    await vi.waitFor(() => {
      expect(seen.at(-1)).toBe(0);
    });
    await phone.issue("register_client", clientCard("Ada"));
    await vi.waitFor(() => {
      expect(seen.at(-1)).toBe(1);
    });
    putClient("Ben");
    await phone.syncNow();
    await vi.waitFor(() => {
      expect(seen.at(-1)).toBe(2);
    });
    phone.lock();
    expect(seen.at(-1)).toBeNull();
    await phone.unlock("seven quiet herons");
    await vi.waitFor(() => {
      expect(seen.at(-1)).toBe(2);
    });
    stop();
  });
});

async function reopenOffline(): Promise<PhoneStore> {
  server.pullFault = new HttpFault("no_connection", 0);
  return reopen(server, database);
}

async function pullOnly(): Promise<void> {
  await phone.syncNow();
  await phone.syncNow();
}

/** As another tab's word makes it do. */
async function reread(): Promise<void> {
  await phone.heard("in_step");
}

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

const REFUSAL = { code: "double_booked", field: "starts_at", text: "Taken.", remedy: "Choose." };

let server: FakeServer;
let database: string;
let phone: PhoneStore;

beforeEach(async () => {
  server = new FakeServer();
  database = databaseName();
  phone = await freshPhone(server, database);
  server.pullFault = offline();
});

afterEach(() => {
  vi.restoreAllMocks();
});

function offline(): HttpFault {
  return new HttpFault("no_connection", 0);
}

function stayOffline(pushes = 50): void {
  server.faults.push(...Array.from({ length: pushes }, offline));
}

async function online(on: PhoneStore = phone): Promise<void> {
  server.faults.length = 0;
  server.pullFault = null;
  await on.syncNow();
  await on.syncNow();
}

/** A server that answers, and takes none of what is sent. */
function takeNothing(lost: boolean) {
  return vi.spyOn(server, "push").mockImplementation(({ device }, commands) =>
    Promise.resolve({
      device,
      now: "2026-11-25T08:00:00Z",
      next_seq: 1,
      heard: "",
      lost,
      results: commands.map(({ id, seq }) => ({
        id,
        seq,
        status: "held_back" as const,
        refusal: null,
        incidents: [],
      })),
    }),
  );
}

async function names(on: PhoneStore = phone): Promise<string[]> {
  return (await on.rows.all("client")).map(({ row }) => row.name).sort();
}

describe("a command", () => {
  it("takes effect at once, without a connection", async () => {
    stayOffline();
    const card = clientCard("Ada");
    await phone.issue("register_client", card);
    await phone.issue("amend_client", { client: card.client, seen: 0, changes: { room: "12" } });
    expect(await phone.rows.get("client", card.client)).toMatchObject({
      pending: true,
      version: 0,
      row: { name: "Ada", room: "12" },
    });
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 2 });
  });

  it("survives a kill right after it was saved: nothing but the outbox is needed", async () => {
    stayOffline();
    await phone.issue("register_client", clientCard("Ada"));
    const again = await reopen(server, database);
    expect(await names(again)).toEqual(["Ada"]);
    await online(again);
    expect(server.received.map(({ seq }) => seq)).toEqual([1]);
  });

  it("that could not be written uses up no number and takes no effect", async () => {
    stayOffline();
    vi.spyOn(IDBObjectStore.prototype, "add").mockImplementationOnce(() => {
      throw new DOMException("full", "QuotaExceededError");
    });
    await expect(phone.issue("register_client", clientCard("Lost"))).rejects.toMatchObject({
      code: "storage_full",
    });
    expect(await names()).toEqual([]);
    await phone.issue("register_client", clientCard("Kept"));
    await online();
    expect(server.received.map(({ seq }) => seq)).toEqual([1]);
    expect(await names()).toEqual(["Kept"]);
  });

  it("gets a number without gaps however many are made at once", async () => {
    stayOffline();
    await Promise.all(
      Array.from({ length: 250 }, (_, at) => phone.issue("register_client", clientCard(`c${at}`))),
    );
    await online();
    expect(server.received.map(({ seq }) => seq)).toEqual(
      Array.from({ length: 250 }, (_, at) => at + 1),
    );
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, state: "idle" });
    expect(await names()).toHaveLength(250);
  });

  it("that is far too large is told at once and keeps the outbox free", async () => {
    const huge = { ...clientCard("Ada"), note: "x".repeat(5_000_000) };
    await expect(phone.issue("register_client", huge)).rejects.toMatchObject({ code: "too_large" });
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0 });
  });

  it("is not taken while locked", async () => {
    phone.lock();
    await expect(phone.issue("register_client", clientCard("Ada"))).rejects.toMatchObject({
      code: "locked",
    });
  });
});

describe("a push", () => {
  it.each(["before", "reply_lost", "twice"] as const)(
    "with the fault %s ends with each command once",
    async (fault) => {
      server.faults.push(fault);
      for (const name of ["Ada", "Ben", "Cy"]) {
        await phone.issue("register_client", clientCard(name));
      }
      await phone.syncNow();
      await online();
      expect(server.received.map(({ args }) => args["name"])).toEqual(["Ada", "Ben", "Cy"]);
      expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, refused: 0 });
      expect(await names()).toEqual(["Ada", "Ben", "Cy"]);
    },
  );

  it("holds the effect between the receipt and the pull that brings it", async () => {
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    expect(server.received).toHaveLength(1);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, state: "offline" });
    expect(await names()).toEqual(["Ada"]);
    const again = await reopen(server, database);
    expect(await names(again)).toEqual(["Ada"]);
  });

  it("keeps what is held back", async () => {
    takeNothing(false);
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 1, detail: "server_trouble" });
  });

  it("believes no result whose id is not the command's", async () => {
    vi.spyOn(server, "push").mockImplementation(({ device }, commands) =>
      Promise.resolve({
        device,
        now: "2026-11-25T08:00:00Z",
        next_seq: 2,
        heard: "",
        lost: false,
        results: commands.map(({ seq }) => ({
          id: newId(),
          seq,
          status: "applied" as const,
          refusal: null,
          incidents: [],
        })),
      }),
    );
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 1 });
  });

  it("stops at a cloned device and loses nothing", async () => {
    server.faults.push(new HttpFault("device_cloned", 409));
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    expect(valueOf(phone.syncState)).toMatchObject({
      state: "stopped",
      detail: "device_cloned",
      pending: 1,
    });
  });
});

describe("a sync that was asked for while a round was about to fail", () => {
  it("is not forgotten: what was made meanwhile is sent at once", async () => {
    const failing = vi.spyOn(server, "pull").mockImplementationOnce(async () => {
      await phone.issue("register_client", clientCard("Ada"));
      server.pullFault = null;
      void phone.syncNow();
      throw offline();
    });
    await phone.syncNow();
    expect(failing).toHaveBeenCalledTimes(2);
    expect(server.received.map(({ args }) => args["name"])).toEqual(["Ada"]);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, state: "idle" });
  });
});

describe("a refusal", () => {
  it("keeps everything that was typed until a person deals with it", async () => {
    server.refuse.set("register_client", REFUSAL);
    const card = { ...clientCard("Ada"), note: "side door, key with the neighbour" };
    await phone.issue("register_client", card);
    await online();
    expect(await names()).toEqual([]);
    const again = await reopen(server, database);
    const [item] = valueOf(again.attention);
    expect(item).toMatchObject({ name: "register_client", args: card, refusal: REFUSAL });
    expect(valueOf(again.syncState)).toMatchObject({ pending: 0, refused: 1 });

    const draft = await again.attention.useAgain(item?.id ?? "");
    expect(await again.drafts.load(draft)).toEqual(card);
    expect(valueOf(again.attention)).toEqual([]);
  });

  it("can be put aside, and comes back no more", async () => {
    server.refuse.set("register_client", REFUSAL);
    await phone.issue("register_client", clientCard("Ada"));
    await online();
    await phone.attention.dismiss(valueOf(phone.attention)[0]?.id ?? "");
    expect(valueOf((await reopen(server, database)).attention)).toEqual([]);
  });

  it("told again after a lost reply is a refusal still", async () => {
    server.refuse.set("register_client", REFUSAL);
    server.faults.push("reply_lost");
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    await online();
    expect(valueOf(phone.attention)).toHaveLength(1);
  });

  it("does not stop the ones behind it", async () => {
    server.refuse.set("cancel_booking", REFUSAL);
    stayOffline();
    await phone.issue("cancel_booking", { booking: newId(), seen: 1, reason: "" });
    await phone.issue("register_client", clientCard("Ben"));
    await online();
    expect(await names()).toEqual(["Ben"]);
  });
});

describe("receipts", () => {
  it("grow old by the server's clock: one of the phone's that jumps ahead drops none", async () => {
    const clock = new Clock();
    server.pullFault = null;
    const database = databaseName();
    phone = await freshPhone(server, database, clock);
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    clock.pass(100 * 86_400);
    phone = await reopen(server, database, clock);
    await phone.syncNow();
    server.receipts.clear();
    server.received.length = 0;
    await phone.syncNow();
    await phone.syncNow();
    expect(server.received.map(({ args }) => args["name"])).toEqual(["Ada"]);
  });

  it("are dropped when the server's clock has gone on by 90 days", async () => {
    server.pullFault = null;
    const database = databaseName();
    phone = await freshPhone(server, database);
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    server.clock = new Date(Date.now() + 91 * 86_400_000).toISOString();
    phone = await reopen(server, database);
    await phone.syncNow();
    server.receipts.clear();
    server.received.length = 0;
    await phone.syncNow();
    await phone.syncNow();
    expect(server.received).toEqual([]);
  });
});

it("asks a server that knows nothing of what it has just said once more, and then later", async () => {
  const push = takeNothing(true);
  await phone.issue("register_client", clientCard("Ada"));
  await phone.syncNow();
  expect(push).toHaveBeenCalledTimes(2);
  expect(valueOf(phone.syncState)).toMatchObject({ pending: 1, detail: "server_trouble" });
});

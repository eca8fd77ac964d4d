/** Check: our own rule. Unheard of for too long, a phone shows no record, loses nothing, and opens with a pull. */
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";

import type { PhoneStore } from "../../src/store/phone_store";
import { HttpFault } from "../../src/wire/http";
import {
  clientCard,
  Clock,
  databaseName,
  freshPhone,
  openPhone,
  PASSPHRASE,
  valueOf,
} from "../fakes/phone";
import { FakeServer } from "../fakes/server";

const DAY = 86_400;

let server: FakeServer;
let database: string;
let clock: Clock;
let phone: PhoneStore;

beforeEach(async () => {
  server = new FakeServer();
  database = databaseName();
  clock = new Clock();
  server.clock = clock.now().toISOString();
  server.put("client", "c-1", { name: "Ada" });
  phone = await freshPhone(server, database, clock);
  server.pullFault = new HttpFault("no_connection", 0);
});

afterEach(() => {
  vi.restoreAllMocks();
});

async function opened(): Promise<PhoneStore> {
  const again = openPhone(server, database, clock);
  await again.start();
  await again.unlock(PASSPHRASE);
  return again;
}

function heardAgain(): void {
  server.faults.length = 0;
  server.pullFault = null;
  server.clock = clock.now().toISOString();
}

const stateOf = (on: PhoneStore) => valueOf(on.session);

describe("the lease", () => {
  it("is told to the screens in hours begun", async () => {
    expect(stateOf(phone).lease_left_seconds).toBe(30 * DAY);
    clock.pass(27 * DAY + 10);
    const again = await opened();
    expect(stateOf(again)).toMatchObject({
      phase: "unlocked",
      lease_left_seconds: 3 * DAY,
    });
  });

  it("that can't be written on a full disk is counted all the same, and keeps nobody out", async () => {
    clock.pass(10 * DAY);
    const full = vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(() => {
      throw new DOMException("full", "QuotaExceededError");
    });
    const again = await opened();
    expect(full).toHaveBeenCalled();
    expect(stateOf(again)).toMatchObject({ phase: "unlocked", lease_left_seconds: 20 * DAY });
  });

  it("begins anew with every pull", async () => {
    clock.pass(29 * DAY);
    heardAgain();
    const again = await opened();
    await again.syncNow();
    expect(stateOf(again).lease_left_seconds).toBe(30 * DAY);
  });

  it("is as long as the practice has it", async () => {
    server.lease_seconds = 2 * DAY;
    heardAgain();
    await phone.syncNow();
    server.pullFault = new HttpFault("no_connection", 0);
    clock.pass(2 * DAY);
    expect(stateOf(await opened()).phase).toBe("lease_over");
  });
});

describe("when it is over", () => {
  it("the passphrase opens no record, and nothing that was typed", async () => {
    phone.drafts.save("screen/c-1", { answers: { diabetes: true } });
    await phone.drafts.flush();
    clock.pass(30 * DAY);
    const again = await opened();
    expect(stateOf(again)).toMatchObject({ phase: "lease_over", lease_left_seconds: 0 });
    await expect(again.rows.all("client")).rejects.toMatchObject({ code: "lease_over" });
    await expect(again.rows.get("client", "c-1")).rejects.toMatchObject({ code: "lease_over" });
    expect(valueOf(again.rows.live("client"))).toBeNull();
    await expect(again.drafts.load("screen/c-1")).rejects.toMatchObject({ code: "lease_over" });
    expect(valueOf(again.attention)).toEqual([]);
  });

  it("says how much waits, sends it, and opens with the first pull", async () => {
    server.faults.push(...Array.from({ length: 50 }, () => new HttpFault("no_connection", 0)));
    await phone.issue("register_client", clientCard("Ben"));
    phone.drafts.save("screen/c-1", { answers: { diabetes: true } });
    await phone.drafts.flush();
    clock.pass(40 * DAY);
    const again = await opened();
    await again.syncNow();
    expect(valueOf(again.syncState)).toMatchObject({ pending: 1, state: "offline" });
    expect(stateOf(again).phase).toBe("lease_over");
    heardAgain();
    await again.syncNow();
    expect(server.received.map(({ args }) => args["name"])).toEqual(["Ben"]);
    await expect.poll(() => stateOf(again).phase).toBe("unlocked");
    expect(await again.rows.all("client")).toHaveLength(2);
    expect(await again.drafts.load("screen/c-1")).toEqual({ answers: { diabetes: true } });
  });

  it("sends even where the pull goes on failing", async () => {
    server.faults.push(new HttpFault("no_connection", 0));
    await phone.issue("register_client", clientCard("Ben"));
    await phone.syncNow();
    clock.pass(40 * DAY);
    const again = await opened();
    await again.syncNow();
    expect(server.received).toHaveLength(1);
    expect(stateOf(again).phase).toBe("lease_over");
  });

  it("closes a phone that was open all the while, and forgets its PIN", async () => {
    server.lease_seconds = 1000;
    heardAgain();
    await phone.syncNow();
    await expect.poll(() => stateOf(phone).lease_left_seconds).toBe(3600);
    expect(await phone.rows.all("client")).toHaveLength(1);
    phone.setPin("4815");
    for (let at = 0; at < 9; at += 1) {
      clock.pass(100);
      phone.touched();
      phone.tick();
    }
    expect(stateOf(phone)).toMatchObject({ phase: "unlocked", pin_set: true });
    clock.pass(100);
    phone.touched();
    phone.tick();
    expect(stateOf(phone)).toMatchObject({ phase: "lease_over", pin_set: false });
    await expect(phone.rows.all("client")).rejects.toMatchObject({ code: "lease_over" });
  });

  it("a clock that is set back opens nothing", async () => {
    clock.pass(31 * DAY);
    expect(stateOf(await opened()).phase).toBe("lease_over");
    clock.pass(-30 * DAY);
    expect(stateOf(await opened()).phase).toBe("lease_over");
    heardAgain();
    const again = await opened();
    await again.syncNow();
    await expect.poll(() => stateOf(again).phase).toBe("unlocked");
  });

  it("a clock that is set back a year right after the practice was heard does not stop the time", async () => {
    heardAgain();
    await phone.syncNow();
    server.pullFault = new HttpFault("no_connection", 0);
    clock.pass(-365 * DAY);
    const hiding = await opened();
    expect(stateOf(hiding)).toMatchObject({ phase: "lease_over", lease_left_seconds: 0 });
    heardAgain();
    await hiding.syncNow();
    await expect.poll(() => stateOf(hiding).phase).toBe("unlocked");
    server.pullFault = new HttpFault("no_connection", 0);
    clock.pass(29 * DAY);
    expect(stateOf(await opened()).lease_left_seconds).toBe(DAY);
  });

  it("a clock that was ahead and was set right runs on, on disk as well", async () => {
    clock.pass(10 * DAY);
    await opened();
    clock.pass(-8 * DAY);
    expect(stateOf(await opened()).lease_left_seconds).toBe(20 * DAY);
    clock.pass(5 * DAY);
    expect(stateOf(await opened()).lease_left_seconds).toBe(15 * DAY);
  });

  it("a page that stays open counts its own time, whatever the clock is set to", async () => {
    let ran = 0;
    const own = vi.spyOn(performance, "now").mockImplementation(() => ran);
    const again = await opened();
    for (let hour = 1; hour <= 48; hour += 1) {
      ran = hour * 3_600_000;
      again.tick();
    }
    expect(stateOf(again).lease_left_seconds).toBe(28 * DAY);
    ran += 59_000;
    again.lock();
    await again.unlock(PASSPHRASE);
    ran += 3_600_000 - 59_000;
    again.tick();
    expect(stateOf(again).lease_left_seconds).toBe((28 * 24 - 1) * 3600);
    own.mockRestore();
    await again.rows.all("client");
    expect(stateOf(await opened()).lease_left_seconds).toBe((28 * 24 - 1) * 3600);
  });

  it("signing in anew opens as well: it is a word from the practice", async () => {
    clock.pass(31 * DAY);
    const again = openPhone(server, database, clock);
    await again.start();
    server.clock = clock.now().toISOString();
    await again.signIn("ann@example.org", "right", "Ann's phone");
    await again.unlock(PASSPHRASE);
    expect(stateOf(again).phase).toBe("unlocked");
  });
});

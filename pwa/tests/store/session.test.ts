import { beforeEach, describe, expect, it, vi } from "vitest";

import { LeaseWatch } from "../../src/store/lease";
import type { PhoneStore } from "../../src/store/phone_store";
import { HttpFault } from "../../src/wire/http";
import {
  clientCard,
  Clock,
  databaseName,
  freshPhone,
  openPhone,
  PASSPHRASE,
  reopen,
  valueOf,
} from "../fakes/phone";
import { FakeServer } from "../fakes/server";

let server: FakeServer;
let database: string;
let phone: PhoneStore;

beforeEach(async () => {
  server = new FakeServer();
  database = databaseName();
  phone = await freshPhone(server, database);
});

const phaseOf = (on: PhoneStore) => valueOf(on.session).phase;
const offline = () => new HttpFault("no_connection", 0);

async function signInAgain(on: PhoneStore): Promise<void> {
  await on.signIn("ann@example.org", "right", "Ann's phone");
}

describe("the way in", () => {
  it("goes from signed out by sign-in and passphrase to unlocked", async () => {
    const other = openPhone(server, databaseName());
    expect(phaseOf(other)).toBe("starting");
    await other.start();
    expect(phaseOf(other)).toBe("signed_out");
    await expect(other.signIn("ann@example.org", "wrong", "x")).rejects.toMatchObject({
      code: "wrong_sign_in",
    });
    await signInAgain(other);
    expect(phaseOf(other)).toBe("choose_passphrase");
    await expect(other.choosePassphrase("short")).rejects.toMatchObject({
      code: "passphrase_too_short",
    });
    await other.choosePassphrase(PASSPHRASE);
    expect(valueOf(other.session)).toMatchObject({
      phase: "unlocked",
      staff: { name: "Invented Technician" },
      practice: { invented: true },
    });
  });

  it("may be tried again where the disk failed under the new passphrase", async () => {
    const other = openPhone(server, databaseName());
    await other.start();
    await signInAgain(other);
    vi.spyOn(LeaseWatch.prototype, "read").mockRejectedValueOnce(new DOMException("", "DataError"));
    await expect(other.choosePassphrase(PASSPHRASE)).rejects.toThrow();
    expect(phaseOf(other)).toBe("choose_passphrase");
    await other.choosePassphrase("nine loud ganders");
    expect(phaseOf(other)).toBe("unlocked");
    other.lock();
    await other.unlock("nine loud ganders");
    await other.issue("register_client", clientCard("Ada"));
    await other.syncNow();
    expect(server.received).toHaveLength(1);
  });

  it("needs the passphrase after a reload, and says when it is wrong", async () => {
    const again = openPhone(server, database);
    await again.start();
    expect(valueOf(again.session)).toMatchObject({ phase: "locked", staff: null });
    await expect(again.unlock("seven quiet heron")).rejects.toMatchObject({
      code: "wrong_passphrase",
    });
    expect(phaseOf(again)).toBe("locked");
    await again.unlock(PASSPHRASE);
    expect(phaseOf(again)).toBe("unlocked");
  });

  it("opens from under the cover by the passphrase as well, and rows stay", async () => {
    await phone.issue("register_client", clientCard("Ada"));
    phone.cover();
    expect(() => {
      phone.uncover("1234");
    }).toThrow("pin_gone");
    await phone.unlock(PASSPHRASE);
    expect(await phone.rows.all("client")).toHaveLength(1);
  });

  it("says after a cold start without a connection when all was last in step", async () => {
    const before = valueOf(phone.syncState).last_ok_at;
    expect(before).not.toBeNull();
    server.pullFault = offline();
    const again = await reopen(server, database);
    expect(valueOf(again.syncState).last_ok_at).toBe(before);
  });

  it("has the rulebook before anybody has unlocked", async () => {
    const again = openPhone(server, database);
    await again.start();
    expect(valueOf(again.rulebook)).toEqual(server.book);
  });

  it("asks for the rulebook at once when the practice's own row comes in anew", async () => {
    const before = server.book;
    server.book = { version: "b".repeat(64) };
    await phone.syncNow();
    expect(valueOf(phone.rulebook)).toEqual(before);
    server.put("practice", "p-1", { name: "Invented Feet", own_rules: "rules: []" });
    await phone.syncNow();
    expect(valueOf(phone.rulebook)).toEqual(server.book);
  });
});

describe("at rest", () => {
  it("nothing that was typed, synced or chosen is readable in the database", async () => {
    const marker = "MARKERHEEL";
    server.staff = { ...server.staff, name: `${marker}-staff` };
    const name = databaseName();
    const marked = await freshPhone(server, name);
    server.put("client", "c-1", { name: `${marker}-pulled` });
    server.refuse.set("cancel_booking", { code: "x", field: null, text: marker, remedy: marker });
    await marked.issue("cancel_booking", { booking: "b", seen: 1, reason: `${marker}-refused` });
    await marked.syncNow();
    await marked.syncNow();
    server.faults.push(...Array.from({ length: 9 }, offline));
    await marked.issue("register_client", { ...clientCard(`${marker}-unsent`), note: marker });
    marked.drafts.save("visit/1", { note: `${marker}-draft` });
    marked.setPin("481516");
    await marked.drafts.flush();

    const everything = await dump(name);
    expect(everything.length).toBeGreaterThan(1000);
    expect(everything).not.toContain(marker);
    expect(everything).not.toContain("481516");
    expect(everything).not.toContain(PASSPHRASE);
    expect(everything).not.toContain("token");
  });
});

describe("drafts", () => {
  it("are on disk when the screen is covered or locked in mid-word", async () => {
    phone.drafts.save("screen/c-1", { answers: { diabetes: true } });
    phone.lock();
    const again = await reopen(server, database);
    expect(await again.drafts.load("screen/c-1")).toEqual({ answers: { diabetes: true } });
    expect(await again.drafts.keys()).toEqual(["screen/c-1"]);
  });

  it("are the newest that was saved, and gone when dropped", async () => {
    for (let at = 0; at < 20; at += 1) phone.drafts.save("x", { at });
    expect(await phone.drafts.load("x")).toEqual({ at: 19 });
    await phone.drafts.flush();
    phone.drafts.save("x", { at: 20 });
    await phone.drafts.drop("x");
    await phone.drafts.flush();
    expect(await (await reopen(server, database)).drafts.load("x")).toBeNull();
  });

  it("do not change with the screen's own copy", async () => {
    const typed = { note: "one" };
    phone.drafts.save("x", typed);
    typed.note = "two";
    expect(await phone.drafts.load("x")).toEqual({ note: "one" });
  });
});

describe("signing in again", () => {
  it("keeps unsent work and its ids, gives it new numbers, and sends it", async () => {
    const lost = () => new HttpFault("not_signed_in", 401);
    server.faults.push(...Array.from({ length: 9 }, lost));
    await phone.issue("register_client", clientCard("Ada"));
    await phone.issue("register_client", clientCard("Ben"));
    await phone.syncNow();
    expect(valueOf(phone.syncState)).toMatchObject({ state: "stopped", detail: "not_signed_in" });
    const before = valueOf(phone.session).device;
    server.faults.length = 0;
    await signInAgain(phone);
    expect(phaseOf(phone)).toBe("locked");
    await phone.unlock(PASSPHRASE);
    await phone.syncNow();
    expect(valueOf(phone.session).device).not.toBe(before);
    const arrived = server.received.map(({ seq, args }) => [seq, args["name"]]);
    expect(arrived).toEqual([
      [1, "Ada"],
      [2, "Ben"],
    ]);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, state: "idle" });
  });

  it("after a reply was lost is no clone, and makes nothing twice", async () => {
    server.faults.push("reply_lost", ...Array.from({ length: 9 }, offline));
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    expect(valueOf(phone.syncState).pending).toBe(1);
    await signInAgain(phone);
    server.faults.length = 0;
    await phone.unlock(PASSPHRASE);
    await phone.syncNow();
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, state: "idle" });
    expect(await phone.rows.all("client")).toHaveLength(1);
  });

  it("to a restored server that does not know this phone tells it everything again, in order", async () => {
    await phone.issue("register_client", clientCard("Ada"));
    await phone.issue("register_client", clientCard("Ben"));
    await phone.syncNow();
    const lost = () => new HttpFault("not_signed_in", 401);
    server.faults.push(...Array.from({ length: 9 }, lost));
    await phone.issue("register_client", clientCard("Cid"));
    await phone.syncNow();
    server.faults.length = 0;
    server.receipts.clear();
    server.received.length = 0;
    server.feed.clear();
    server.reset = true;
    await signInAgain(phone);
    await phone.unlock(PASSPHRASE);
    await phone.syncNow();
    const arrived = server.received.map(({ seq, args }) => [seq, args["name"]]);
    expect(arrived).toEqual([
      [1, "Ada"],
      [2, "Ben"],
      [3, "Cid"],
    ]);
    expect(await phone.rows.all("client")).toHaveLength(3);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, state: "idle" });
  });

  it("tells a restored server everything again even before the first page had come", async () => {
    const young = openPhone(server, databaseName());
    await young.start();
    server.pullFault = offline();
    await young.signIn("ann@example.org", "right", "Ann's phone");
    await young.choosePassphrase(PASSPHRASE);
    await young.issue("register_client", clientCard("Ada"));
    await young.syncNow();
    expect(valueOf(young.syncState)).toMatchObject({ pending: 0, state: "offline" });
    server.receipts.clear();
    server.received.length = 0;
    server.feed.clear();
    server.reset = true;
    server.pullFault = null;
    await signInAgain(young);
    await young.unlock(PASSPHRASE);
    await young.syncNow();
    expect(server.received.map(({ seq, args }) => [seq, args["name"]])).toEqual([[1, "Ada"]]);
  });

  it("asks for the old passphrase only where the server has lost what was sent", async () => {
    const backUp = server.backUp();
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    await signInAgain(phone);
    expect(phaseOf(phone)).toBe("choose_passphrase");
    backUp();
    const again = openPhone(server, database);
    await again.start();
    await signInAgain(again);
    expect(phaseOf(again)).toBe("locked");
    expect(valueOf(again.session)).toMatchObject({ signed_in: true, records_lost: true });
    expect(await again.unsentWork()).toMatchObject({ entries: 1 });
    await again.unlock(PASSPHRASE);
    await again.syncNow();
    expect(server.received.map(({ args }) => args["name"])).toEqual(["Ada"]);
    expect(valueOf(again.session).records_lost).toBe(false);
  });

  it("as somebody else does not send the first person's work", async () => {
    server.faults.push(...Array.from({ length: 9 }, offline));
    await phone.issue("register_client", clientCard("Ada"));
    server.staff = { ...server.staff, id: "staff-2" };
    await signInAgain(phone);
    await expect(phone.unlock(PASSPHRASE)).rejects.toMatchObject({ code: "other_persons_work" });
    const again = await reopen(server, database);
    expect(valueOf(again.syncState).pending).toBe(1);
  });
});

describe("a revoked device", () => {
  it("forgets records and key", async () => {
    server.put("client", "c-1", { name: "Ada" });
    await phone.syncNow();
    server.pullFault = new HttpFault("device_revoked", 403);
    await phone.syncNow();
    expect(phaseOf(phone)).toBe("revoked");
    expect(await count(database, "blocks")).toBe(0);
    const again = openPhone(server, database);
    await again.start();
    expect(phaseOf(again)).toBe("revoked");
    await expect(again.unlock(PASSPHRASE)).rejects.toMatchObject({ code: "not_signed_in" });
  });

  it("that may still hand in its work does so before it is wiped, and keeps nothing sealed", async () => {
    const refusal = {
      code: "device_revoked",
      field: null,
      text: "Off.",
      remedy: "Ask.",
      about: null,
    };
    server.refuse.set("cancel_booking", refusal);
    server.pullFault = new HttpFault("device_revoked", 403);
    await Promise.all([
      phone.issue("register_client", clientCard("Ada")),
      phone.issue("cancel_booking", { booking: "b", seen: 1, reason: "In hospital" }),
    ]);
    await phone.syncNow();
    expect(phaseOf(phone)).toBe("revoked");
    expect(server.received.map(({ name }) => name).sort()).toEqual([
      "cancel_booking",
      "register_client",
    ]);
    expect(await phone.unsentWork()).toMatchObject({ entries: 0, forms: 0, recoverable: false });
    for (const store of ["outbox", "settled", "drafts", "blocks"])
      expect(await count(database, store)).toBe(0);
    // How far it had come, the rulebook, and that numbers go on above.
    expect(await count(database, "meta")).toBe(3);
  });

  it("keeps what was refused before, for the person to deal with after a new sign-in", async () => {
    server.refuse.set("cancel_booking", {
      code: "x",
      field: null,
      text: "",
      remedy: "",
      about: null,
    });
    await phone.issue("cancel_booking", { booking: "b", seen: 1, reason: "In hospital" });
    await phone.syncNow();
    server.pullFault = new HttpFault("device_revoked", 403);
    await phone.syncNow();
    expect(phaseOf(phone)).toBe("revoked");
    expect(await phone.unsentWork()).toMatchObject({ entries: 1 });
  });

  it("keeps unsent work sealed, for the same person who signs in again", async () => {
    server.faults.push(new HttpFault("device_revoked", 403));
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    expect(phaseOf(phone)).toBe("revoked");
    await expect(phone.unlock(PASSPHRASE)).rejects.toMatchObject({ code: "device_revoked" });
    await signInAgain(phone);
    await phone.unlock(PASSPHRASE);
    await phone.syncNow();
    expect(server.received.map(({ args }) => args["name"])).toEqual(["Ada"]);
  });
});

describe("idle", () => {
  it("locks and drops what is open in memory", async () => {
    const clock = new Clock();
    const idle = await freshPhone(server, databaseName(), clock);
    clock.pass(1000);
    idle.tick();
    expect(valueOf(idle.session)).toMatchObject({ phase: "locked", staff: null });
    await expect(idle.rows.all("client")).rejects.toMatchObject({ code: "locked" });
  });
});

function openRaw(name: string): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name);
    request.onsuccess = () => {
      resolve(request.result);
    };
    request.onerror = () => {
      reject(new Error("cannot open"));
    };
  });
}

function ask<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve) => {
    request.onsuccess = () => {
      resolve(request.result);
    };
  });
}

async function count(name: string, store: string): Promise<number> {
  const db = await openRaw(name);
  return ask(db.transaction(store).objectStore(store).count());
}

/** Everything in the database, bytes taken as letters. */
async function dump(name: string): Promise<string> {
  const db = await openRaw(name);
  const parts: string[] = [];
  for (const store of db.objectStoreNames) {
    const objects = db.transaction(store).objectStore(store);
    const keys: unknown = await ask(objects.getAllKeys());
    const values: unknown = await ask(objects.getAll());
    parts.push(
      JSON.stringify([keys, values], (_key, value: unknown) =>
        isBytes(value) ? letters(value) : value,
      ),
    );
  }
  return parts.join("\n");
}

function isBytes(value: unknown): value is Uint8Array {
  return value instanceof Uint8Array;
}

function letters(bytes: Uint8Array): string {
  return Buffer.from(bytes).toString("latin1");
}

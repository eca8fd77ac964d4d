/** Check: our own rule. The practice's key opens forgotten work for the person who made it, and for nobody else. */
import { beforeAll, beforeEach, describe, expect, it } from "vitest";

import { openDatabase, readMeta } from "../../src/store/db";
import type { WrappedKey } from "../../src/store/passphrase";
import type { PhoneStore } from "../../src/store/phone_store";
import { copyForPractice, isFor } from "../../src/store/recovery";
import { HttpFault } from "../../src/wire/http";
import {
  clientCard,
  databaseName,
  freshPhone,
  openPhone,
  PASSPHRASE,
  valueOf,
} from "../fakes/phone";
import { PracticeKey } from "../fakes/practice_key";
import { FakeServer, PRACTICE, STAFF } from "../fakes/server";

/** As long as the server's tokens are. */
const MAKER = { staff: STAFF, device: "device-1", token: "t".repeat(43) };
const NEW_PASSPHRASE = "nine loud ganders";

let pair: PracticeKey;
let server: FakeServer;
let database: string;
let asked: string[];

beforeAll(() => {
  pair = new PracticeKey();
});

beforeEach(() => {
  server = new FakeServer();
  server.practice = { ...PRACTICE, recovery_key: pair.public };
  server.openCopy = (copy) => {
    asked.push(copy);
    return pair.open(copy, server.practice.id, server.staff.id)?.key ?? null;
  };
  database = databaseName();
  asked = [];
});

const offline = () => new HttpFault("no_connection", 0);

async function enterOffline(phone: PhoneStore): Promise<void> {
  server.faults.push(...Array.from({ length: 50 }, offline));
  await phone.issue("register_client", clientCard("Ada"));
  await phone.issue("register_client", clientCard("Ben"));
  phone.drafts.save("screen/c-1", { answers: { diabetes: true } });
  await phone.drafts.flush();
  await phone.syncNow();
  phone.lock();
  server.faults.length = 0;
}

async function signInAnew(): Promise<PhoneStore> {
  const phone = openPhone(server, database);
  await phone.start();
  await phone.signIn("ann@example.org", "right", "Ann's phone");
  phone.startAnew();
  await phone.choosePassphrase(NEW_PASSPHRASE);
  return phone;
}

function arrived(): unknown[] {
  return server.received.map(({ args }) => args["name"]);
}

describe("the copy of a record key", () => {
  it("opens by OpenSSL under the same practice and person, and under no other", async () => {
    const raw = crypto.getRandomValues(new Uint8Array(32));
    const copy = await copyForPractice(raw, { ...MAKER, practice: server.practice });
    const text = Buffer.from(copy?.ct ?? []).toString("base64");
    expect(copy?.ct).toHaveLength(384);
    expect(pair.open(text, PRACTICE.id, STAFF.id)).toEqual({
      key: Buffer.from(raw).toString("base64"),
      token: MAKER.token,
    });
    expect(pair.open(text, PRACTICE.id, "staff-2")).toBeNull();
    expect(pair.open(text, "practice-2", STAFF.id)).toBeNull();
  });

  it("is not made where the practice gave no key, or none that is one", async () => {
    const raw = new Uint8Array(32);
    for (const recovery_key of ["", "no base64", "AAAA"]) {
      const practice = { ...PRACTICE, recovery_key };
      expect(await copyForPractice(raw, { ...MAKER, practice })).toBeUndefined();
    }
  });

  it("is made anew where the practice has another key, or another device is to prove it", async () => {
    const person = { ...MAKER, practice: server.practice };
    const copy = await copyForPractice(new Uint8Array(32), person);
    expect(isFor(copy, person)).toBe(true);
    expect(isFor(copy, { ...person, practice: { ...PRACTICE, recovery_key: "other" } })).toBe(
      false,
    );
    expect(isFor(copy, { ...person, device: "device-2" })).toBe(false);
    expect(isFor(undefined, person)).toBe(false);
  });
});

describe("a forgotten passphrase", () => {
  it("costs nothing: the work comes back under its own ids and is sent", async () => {
    await enterOffline(await freshPhone(server, database));
    const phone = openPhone(server, database);
    await phone.start();
    expect(await phone.unsentWork()).toMatchObject({ entries: 2, recoverable: true });
    const again = await signInAnew();
    await expect.poll(() => valueOf(again.setAside)).toMatchObject([{ opened: true, entries: 2 }]);
    await again.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
    expect(asked).toHaveLength(1);
    expect(await again.drafts.load("screen/c-1")).toEqual({ answers: { diabetes: true } });
    again.lock();
    await again.unlock(NEW_PASSPHRASE);
    expect(valueOf(again.setAside)).toEqual([]);
  });

  it("after a lost reply makes nothing twice", async () => {
    const first = await freshPhone(server, database);
    server.faults.push("reply_lost", ...Array.from({ length: 9 }, offline));
    await first.issue("register_client", clientCard("Ada"));
    await first.syncNow();
    first.lock();
    server.faults.length = 0;
    const phone = await signInAnew();
    await expect.poll(() => valueOf(phone.setAside)).toMatchObject([{ opened: true }]);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada"]);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, state: "idle" });
  });

  it("waits where the connection is gone, says so, and can be asked for again", async () => {
    await enterOffline(await freshPhone(server, database));
    const open = server.openCopy;
    server.openCopy = () => {
      throw offline();
    };
    const phone = await signInAnew();
    await expect
      .poll(() => valueOf(phone.setAside))
      .toMatchObject([{ entries: 2, recoverable: true, recovery_fault: "no_connection" }]);
    server.openCopy = open;
    await phone.setAside.recover(valueOf(phone.setAside)[0]?.id ?? "");
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
  });

  it("stays set aside where the practice says no, and its own passphrase still opens it", async () => {
    await enterOffline(await freshPhone(server, database));
    server.openCopy = () => null;
    const phone = await signInAnew();
    await expect
      .poll(() => valueOf(phone.setAside))
      .toMatchObject([{ recovery_fault: "recovery_refused" }]);
    const id = valueOf(phone.setAside)[0]?.id ?? "";
    await expect(phone.setAside.recover(id)).rejects.toMatchObject({ code: "recovery_refused" });
    await phone.setAside.bringBack(id, PASSPHRASE);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
  });

  it("stays set aside where the practice does not know the phone, and says so", async () => {
    await enterOffline(await freshPhone(server, database));
    server.openCopy = () => {
      throw new HttpFault("copy_not_proved", 400);
    };
    const phone = await signInAnew();
    await expect
      .poll(() => valueOf(phone.setAside))
      .toMatchObject([{ entries: 2, recovery_fault: "recovery_not_proved" }]);
    await phone.setAside.bringBack(valueOf(phone.setAside)[0]?.id ?? "", PASSPHRASE);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
  });

  it("of somebody else's work asks the practice for nothing", async () => {
    await enterOffline(await freshPhone(server, database));
    server.staff = { ...STAFF, id: "staff-2" };
    const phone = await signInAnew();
    await expect
      .poll(() => valueOf(phone.setAside))
      .toMatchObject([{ entries: 2, recovery_fault: "other_persons_work" }]);
    expect(asked).toEqual([]);
    await phone.syncNow();
    expect(arrived()).toEqual([]);
  });
});

describe("a phone from before there was such a key", () => {
  it("has no copy; it hears of the key by sync and leaves one at the next unlock", async () => {
    server.practice = PRACTICE;
    const phone = await freshPhone(server, database);
    expect(await phone.unsentWork()).toMatchObject({ recoverable: false });
    server.put("practice", PRACTICE.id, { name: "x", recovery_key: pair.public });
    await phone.syncNow();
    phone.lock();
    await phone.unlock(PASSPHRASE);
    expect(await phone.unsentWork()).toMatchObject({ recoverable: true });
    server.practice = { ...PRACTICE, recovery_key: pair.public };
    await enterOffline(phone);
    const again = await signInAnew();
    await expect.poll(() => valueOf(again.setAside)).toMatchObject([{ opened: true }]);
  });

  it("whose work was set aside without a copy says so, and asks nobody", async () => {
    server.practice = PRACTICE;
    await enterOffline(await freshPhone(server, database));
    server.practice = { ...PRACTICE, recovery_key: pair.public };
    const phone = await signInAnew();
    await phone.syncNow();
    expect(valueOf(phone.setAside)).toMatchObject([{ recoverable: false, recovery_fault: null }]);
    expect(asked).toEqual([]);
  });
});

describe("a phone whose copy proves nothing, from an earlier app", () => {
  it("works as ever, and leaves another at the next unlock", async () => {
    const phone = await freshPhone(server, database);
    phone.lock();
    const db = await openDatabase(database, () => undefined);
    const before = await readMeta(db, "wrapped_key");
    const { device: _, ...old } = before?.recovery ?? { practice: "", staff: "", lock: "" };
    await db.put("meta", { ...before, recovery: old } as WrappedKey, "wrapped_key");
    await phone.unlock(PASSPHRASE);
    const { recovery } = (await readMeta(db, "wrapped_key")) ?? {};
    expect(recovery?.device).toBe(valueOf(phone.session).device);
    expect(recovery?.ct.join()).not.toBe(before?.recovery?.ct.join());
  });
});

describe("a changed passphrase", () => {
  it("keeps a copy for the practice", async () => {
    const phone = await freshPhone(server, database);
    await phone.changePassphrase(PASSPHRASE, "ten grey geese here");
    await enterOffline(phone);
    const again = await signInAnew();
    await expect.poll(() => valueOf(again.setAside)).toMatchObject([{ opened: true }]);
  });
});

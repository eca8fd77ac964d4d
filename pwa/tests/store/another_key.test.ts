/**
 * Check: our own rule. What was sealed under a key that is the phone's no more is not written: nobody could
 * ever open it. Whoever saved it is told so, and what is there stays.
 */
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";

import type { PhoneStore } from "../../src/store/phone_store";
import { HttpFault } from "../../src/wire/http";
import {
  clientCard,
  databaseName,
  freshPhone,
  openPhone,
  PASSPHRASE,
  reopen,
  valueOf,
} from "../fakes/phone";
import { FakeServer, STAFF } from "../fakes/server";

const NEW_PASSPHRASE = "nine loud ganders";
const THIRD_PASSPHRASE = "two old kettles";
const FORM = { answers: { diabetes: true } };

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
const locked = { code: "locked" };

function arrived(): unknown[] {
  return server.received.map(({ args }) => args["name"]);
}

async function signedInAnew(passphrase: string): Promise<PhoneStore> {
  const phone = openPhone(server, database);
  await phone.start();
  await phone.signIn("ann@example.org", "right", "Ann's phone");
  if (valueOf(phone.session).phase === "locked") phone.startAnew();
  await phone.choosePassphrase(passphrase);
  await phone.syncNow();
  return phone;
}

function fillDisk(): void {
  vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(() => {
    throw new DOMException("full", "QuotaExceededError");
  });
}

describe("a tab that has not heard of another's new passphrase", () => {
  let late: PhoneStore;
  let phone: PhoneStore;

  beforeEach(async () => {
    (await freshPhone(server, database)).lock();
    late = await reopen(server, database);
    await late.syncNow();
    phone = await signedInAnew(NEW_PASSPHRASE);
  });

  it("saves no entry, and those of the other go on", async () => {
    await expect(late.issue("register_client", clientCard("Lost"))).rejects.toMatchObject(locked);
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    // The number that was given back is missing in between: the next round sends them anew.
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada"]);
    expect(valueOf(phone.syncState)).toMatchObject({ state: "idle", pending: 0 });
    expect(await phone.rows.all("client")).toHaveLength(1);
  });

  it("writes no form", async () => {
    late.drafts.save("screen/c-1", FORM);
    await expect(late.drafts.flush()).rejects.toMatchObject(locked);
    expect(await phone.drafts.load("screen/c-1")).toBeNull();
  });
});

it("what was set aside stays so where another passphrase is chosen while it is put back", async () => {
  const first = await freshPhone(server, database);
  server.faults.push(...Array.from({ length: 50 }, offline));
  await first.issue("register_client", clientCard("Ada"));
  await first.syncNow();
  first.lock();
  server.faults.length = 0;
  const late = await signedInAnew(NEW_PASSPHRASE);
  const [aside] = valueOf(late.setAside);
  const phone = await signedInAnew(THIRD_PASSPHRASE);
  await expect(late.setAside.bringBack(aside?.id ?? "", PASSPHRASE)).rejects.toMatchObject(locked);
  await phone.setAside.read();
  expect(valueOf(phone.setAside)).toMatchObject([{ entries: 1 }]);
  await phone.setAside.bringBack(aside?.id ?? "", PASSPHRASE);
  await phone.syncNow();
  expect(arrived()).toEqual(["Ada"]);
});

describe("a phone that its practice wipes", () => {
  it("takes no entry that could not be opened, whenever it is saved", async () => {
    for (let wait = 0; wait < 24; wait += 3) {
      database = databaseName();
      const phone = await freshPhone(server, database);
      let saving: Promise<boolean> = Promise.resolve(false);
      vi.spyOn(server, "pull").mockImplementationOnce(() => {
        saving = (async () => {
          for (let turn = 0; turn < wait; turn += 1) await new Promise(setImmediate);
          return phone.issue("register_client", clientCard(`Ada ${wait}`)).then(
            () => true,
            () => false,
          );
        })();
        throw new HttpFault("device_revoked", 403);
      });
      await phone.syncNow();
      const saved = await saving;
      const again = openPhone(server, database);
      await again.start();
      await again.signIn("ann@example.org", "right", "Ann's phone");
      // Where the entry was saved, its passphrase opens it; where not, a new one is chosen.
      if (valueOf(again.session).phase === "locked") await again.unlock(PASSPHRASE);
      else await again.choosePassphrase(NEW_PASSPHRASE);
      await again.syncNow();
      expect(arrived().includes(`Ada ${wait}`), `after ${wait} turns`).toBe(saved);
      again.lock();
    }
  });

  it("is closed even where its disk is full", async () => {
    const phone = await freshPhone(server, database);
    server.pullFault = new HttpFault("device_revoked", 403);
    fillDisk();
    await phone.syncNow();
    expect(valueOf(phone.session).phase).toBe("revoked");
    await expect(phone.rows.all("client")).rejects.toMatchObject(locked);
  });
});

describe("a form that could not be written", () => {
  it("waits for who typed it, and is not given to the next person on the phone", async () => {
    const phone = await freshPhone(server, database);
    fillDisk();
    phone.drafts.save("screen/c-1", FORM);
    await expect(phone.drafts.flush()).rejects.toMatchObject({ code: "storage_full" });
    phone.lock();
    vi.restoreAllMocks();
    await phone.unlock(PASSPHRASE);
    expect(await phone.drafts.load("screen/c-1")).toEqual(FORM);
    fillDisk();
    phone.drafts.save("screen/c-2", FORM);
    await expect(phone.drafts.flush()).rejects.toMatchObject({ code: "storage_full" });
    phone.lock();
    vi.restoreAllMocks();
    server.staff = { ...STAFF, id: "staff-2" };
    await phone.signIn("bob@example.org", "right", "Bob's phone");
    phone.startAnew();
    await phone.choosePassphrase(NEW_PASSPHRASE);
    await phone.drafts.flush();
    expect(await phone.drafts.keys()).toEqual([]);
  });

  it("keeps nobody from signing in again, nor from saving unsent work to a file", async () => {
    const phone = await freshPhone(server, database);
    fillDisk();
    phone.drafts.save("screen/c-1", FORM);
    expect(await phone.savedWork.save()).toMatchObject({ file: expect.any(Blob) as Blob });
    await phone.signIn("ann@example.org", "right", "Ann's phone");
    expect(valueOf(phone.session).signed_in).toBe(true);
  });
});

/** Check: our own rule. A locked phone shows when a contact time is over, and knows nothing else of it. */
import { beforeEach, describe, expect, it } from "vitest";

import { openDatabase, readMeta } from "../../src/store/db";
import type { PhoneStore } from "../../src/store/phone_store";
import { HttpFault } from "../../src/wire/http";
import { databaseName, freshPhone, openPhone, valueOf } from "../fakes/phone";
import { FakeServer } from "../fakes/server";

const OVER = "2026-11-25T08:10:00.000Z";
const LATER = "2026-11-25T08:20:00.000Z";

let server: FakeServer;
let database: string;
let phone: PhoneStore;

beforeEach(async () => {
  server = new FakeServer();
  database = databaseName();
  phone = await freshPhone(server, database);
});

async function shownAfterReload(): Promise<readonly string[]> {
  const again = openPhone(server, database);
  await again.start();
  expect(valueOf(again.session).phase).toBe("locked");
  return valueOf(again.contactTimes);
}

async function onDisk(): Promise<unknown> {
  return readMeta(await openDatabase(database, () => undefined), "contact_times");
}

describe("contact times", () => {
  it("are known to a locked phone, and after a reload", async () => {
    await phone.contactTimes.keep([LATER, OVER]);
    phone.lock();
    expect(valueOf(phone.contactTimes)).toEqual([OVER, LATER]);
    expect(await shownAfterReload()).toEqual([OVER, LATER]);
  });

  it("lie there as moments, until they end", async () => {
    await phone.contactTimes.keep([OVER]);
    expect(await onDisk()).toEqual([OVER]);
    await phone.contactTimes.keep([]);
    expect(await onDisk()).toBeUndefined();
    expect(await shownAfterReload()).toEqual([]);
  });

  it("are read by another tab that is told", async () => {
    const other = openPhone(server, database);
    await other.start();
    await phone.contactTimes.keep([OVER]);
    await other.heard("contact_times");
    expect(valueOf(other.contactTimes)).toEqual([OVER]);
  });

  it("go with the records of a phone that is shut out", async () => {
    await phone.contactTimes.keep([OVER]);
    server.pullFault = new HttpFault("device_revoked", 403);
    await phone.syncNow();
    expect(await onDisk()).toBeUndefined();
  });

  it("go where the phone becomes somebody else's", async () => {
    await phone.contactTimes.keep([OVER]);
    await phone.signIn("bob@example.org", "right", "Bob's phone");
    await phone.choosePassphrase("eight quiet herons");
    expect(await onDisk()).toBeUndefined();
    // Of whoever has no kit, no screen tells the phone what runs.
    phone.lock();
    expect(valueOf(phone.contactTimes)).toEqual([]);
  });
});

/** Blocks that go missing on the phone. Common practice, no source: what is not there must be noticed. */
import { beforeEach, describe, expect, it } from "vitest";

import { openDatabase, writeStrictly } from "../../src/store/db";
import type { PhoneStore } from "../../src/store/phone_store";
import { HttpFault } from "../../src/wire/http";
import { clientCard, databaseName, freshPhone, newId, reopen, valueOf } from "../fakes/phone";
import { FakeServer } from "../fakes/server";

let server: FakeServer;
let database: string;
let phone: PhoneStore;

beforeEach(async () => {
  server = new FakeServer();
  database = databaseName();
  phone = await freshPhone(server, database);
  const client = newId();
  server.put("client", client, { ...clientCard("Oda", client) });
  server.put("referral", newId(), { client }, client);
  await phone.syncNow();
});

async function loseBlocks(kind: string | null, manifest = false): Promise<void> {
  const db = await openDatabase(database, () => undefined);
  await writeStrictly(db, ["blocks", "meta"], async (tx) => {
    const blocks = tx.objectStore("blocks");
    for (const key of await blocks.getAllKeys()) {
      if (kind === null || key[0] === kind) await blocks.delete(key);
    }
    if (manifest) await tx.objectStore("meta").delete("manifest");
  });
  db.close();
}

const offline = () => Array.from({ length: 9 }, () => new HttpFault("no_connection", 0));

/** What a screen that was left open shows. */
function watched(on: PhoneStore): { shown: () => number | null; stop: () => void } {
  let shown: number | null = null;
  const stop = on.rows.live("referral").subscribe((rows) => (shown = rows?.length ?? null));
  return { shown: () => shown, stop };
}

describe("blocks that are gone", () => {
  it("are noticed when their kind is opened, and nothing is shown as if it were all", async () => {
    await loseBlocks("referral");
    server.pullFault = new HttpFault("no_connection", 0);
    const again = await reopen(server, database);
    await expect(again.rows.all("referral")).rejects.toMatchObject({ code: "record_damaged" });
    expect(await again.rows.all("client")).toHaveLength(1);
  });

  it.each(["referral", null])(
    "come back with the next pull, and the outbox stays (%s)",
    async (kind) => {
      phone.lock();
      await loseBlocks(kind);
      server.pullFault = new HttpFault("no_connection", 0);
      server.faults.push(...offline());
      const again = await reopen(server, database);
      const { shown, stop } = watched(again);
      await again.issue("register_client", clientCard("Mine"));
      await again.syncNow();
      expect(valueOf(again.trouble)).toBe("record_damaged");
      expect(shown()).toBeNull();
      server.pullFault = null;
      server.faults.length = 0;
      await again.syncNow();
      await expect.poll(shown).toBe(1);
      stop();
      expect(valueOf(again.trouble)).toBeNull();
      expect((await again.rows.all("client")).map(({ row }) => row.name).sort()).toEqual([
        "Mine",
        "Oda",
      ]);
      expect(valueOf(again.syncState).pending).toBe(0);
      again.lock();
      server.pullFault = new HttpFault("no_connection", 0);
      expect(await (await reopen(server, database)).rows.all("referral")).toHaveLength(1);
    },
  );

  it("come back on a phone that stays open", async () => {
    await loseBlocks("referral");
    server.put("booking", newId(), { client: "none" });
    await phone.syncNow();
    phone.lock();
    server.pullFault = new HttpFault("no_connection", 0);
    expect(await (await reopen(server, database)).rows.all("referral")).toHaveLength(1);
  });

  it("a phone from before the list has one with its next write", async () => {
    await loseBlocks("none", true);
    server.put("referral", newId(), { client: "none" });
    await phone.syncNow();
    phone.lock();
    await loseBlocks("client");
    server.pullFault = new HttpFault("no_connection", 0);
    const again = await reopen(server, database);
    expect(await again.rows.all("referral")).toHaveLength(2);
    await expect(again.rows.all("client")).rejects.toMatchObject({ code: "record_damaged" });
  });
});

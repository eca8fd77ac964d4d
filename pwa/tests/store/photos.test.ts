/**
 * Check: our own rules. A photo is on disk with its record or not at all, nothing of it lies there in the open, and
 * its picture reaches the server once, whatever cuts the line; no way of losing the key loses it.
 */
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";

import { openDatabase } from "../../src/store/db";
import type { PhoneStore } from "../../src/store/phone_store";
import { HttpFault } from "../../src/wire/http";
import { databaseName, freshPhone, openPhone, PASSPHRASE, reopen, valueOf } from "../fakes/phone";
import { FakeServer } from "../fakes/server";

const NEW_PASSPHRASE = "nine loud ganders";
/** Three parts. Not a picture: the store does not look into it. */
const WHOLE = "an invented picture of a heel ".repeat(20_000);
const SMALL = "an invented small picture of a heel";
const TOLD = { client: "c-1", purpose: "before", about: null } as const;

let server: FakeServer;
let database: string;
let phone: PhoneStore;

beforeEach(async () => {
  server = new FakeServer();
  database = databaseName();
  phone = await freshPhone(server, database);
});

afterEach(() => {
  vi.restoreAllMocks();
});

const cut = () => new HttpFault("no_connection", 0);

function picture() {
  const [whole, small] = [new Blob([WHOLE]), new Blob([SMALL])];
  return { whole, small, width: 1600, height: 1200 };
}

async function take(on = phone): Promise<string> {
  return (await on.photos.take(TOLD, picture())).id;
}

async function arrived(photo: string): Promise<void> {
  await expect.poll(() => server.photos.arrived.has(photo)).toBe(true);
  expect(await (await server.photo({ token: "", device: "" }, photo)).text()).toBe(WHOLE);
}

async function rows(store: "pictures" | "picture_pieces"): Promise<unknown[]> {
  const db = await openDatabase(database, () => undefined);
  const all = await db.getAll(store);
  db.close();
  return all;
}

function pending(on = phone) {
  const { photos_pending, photos_damaged } = valueOf(on.syncState);
  return { photos_pending, photos_damaged };
}

/** The line is cut, and nothing is sent. */
function offline(): void {
  server.faults.push(...Array.from({ length: 40 }, cut));
  server.pullFault = cut();
}

function online(): void {
  server.faults.length = 0;
  server.photos.faults.length = 0;
  server.pullFault = null;
}

describe("a photo that was taken", () => {
  it("arrives once, part by part, and is shown from the phone's own copy", async () => {
    const photo = await take();
    await phone.syncNow();
    await arrived(photo);
    expect(server.photos.came).toEqual([1, 2, 3].map((part) => `${photo}/${String(part)}`));
    await expect.poll(pending).toEqual({ photos_pending: 0, photos_damaged: 0 });
    expect(await (await phone.photos.small(photo))?.text()).toBe(SMALL);
    expect(await (await phone.photos.whole(photo)).text()).toBe(WHOLE);
    await phone.syncNow();
    expect(server.photos.came).toHaveLength(3);
  });

  it("lies on the disk sealed, small picture and all", async () => {
    offline();
    await take();
    const stored = [...(await rows("pictures")), ...(await rows("picture_pieces"))] as {
      ct: Uint8Array;
    }[];
    expect(stored).toHaveLength(5);
    for (const { ct } of stored) expect(new TextDecoder().decode(ct)).not.toContain("heel");
  });

  it("waits through a lock and a new start, counted", async () => {
    offline();
    const photo = await take();
    await expect.poll(pending).toEqual({ photos_pending: 1, photos_damaged: 0 });
    phone.lock();
    await expect(phone.photos.small(photo)).rejects.toMatchObject({ code: "locked" });
    expect(await phone.unsentWork()).toMatchObject({ entries: 1, pictures: 1 });
    const again = await reopen(server, database);
    expect(await (await again.photos.small(photo))?.text()).toBe(SMALL);
    online();
    await again.syncNow();
    await arrived(photo);
  });

  it("goes on after a cut line where it was", async () => {
    offline();
    const photo = await take();
    online();
    // What is here, the first part, and then the line is cut.
    server.photos.faults.push(null, null, cut());
    await phone.syncNow();
    await expect.poll(() => server.photos.faults.length).toBe(0);
    expect(server.photos.came).toEqual([`${photo}/1`]);
    expect(pending().photos_pending).toBe(1);
    await phone.syncNow();
    await arrived(photo);
    expect(server.photos.came).toHaveLength(3);
  });

  it("is sent anew where the server says that it is not the one", async () => {
    offline();
    const photo = await take();
    online();
    server.photos.parts.set(photo, new Map([[1, new Uint8Array(3)]]));
    await phone.syncNow();
    await expect.poll(() => server.photos.parts.has(photo)).toBe(false);
    expect(pending().photos_pending).toBe(1);
    await phone.syncNow();
    await arrived(photo);
  });

  it("that does not open any more is told of and holds up neither entries nor other photos", async () => {
    offline();
    const [bad, good] = [await take(), await take()];
    const db = await openDatabase(database, () => undefined);
    const piece = await db.get("picture_pieces", [bad, 2]);
    if (piece === undefined) throw new Error("no piece");
    await db.put("picture_pieces", { ...piece, ct: piece.ct.map((byte) => byte ^ 1) });
    db.close();
    online();
    await phone.syncNow();
    await arrived(good);
    await expect.poll(pending).toEqual({ photos_pending: 1, photos_damaged: 1 });
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0 });
    expect(valueOf(phone.trouble)).toBe("record_damaged");
  });

  it("goes again to a server that was restored to before it", async () => {
    const restore = server.backUp();
    const photo = await take();
    await phone.syncNow();
    await arrived(photo);
    restore();
    server.photos.parts.clear();
    server.photos.arrived.clear();
    await phone.syncNow();
    await phone.syncNow();
    await arrived(photo);
  });
});

it("a photo whose record was refused goes when its person puts the entry aside", async () => {
  const refusal = { code: "not_found", field: "client", text: "?", remedy: "?", about: null };
  server.refuse.set("record_photo", refusal);
  await take();
  await phone.syncNow();
  expect(pending().photos_pending).toBe(1);
  const [refused] = valueOf(phone.attention);
  expect(refused?.name).toBe("record_photo");
  await phone.attention.dismiss(refused?.id ?? "");
  expect(await rows("picture_pieces")).toEqual([]);
  expect(pending().photos_pending).toBe(0);
});

describe("a full disk", () => {
  /** Of the writes of pieces to come, so many fail. */
  function fill(times: number): void {
    let left = times;
    // eslint-disable-next-line @typescript-eslint/unbound-method -- it is called with its own `this`
    const put = IDBObjectStore.prototype.put;
    vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(function (
      this: IDBObjectStore,
      ...args
    ) {
      if (this.name === "picture_pieces" && (left -= 1) >= 0)
        throw new DOMException("full", "QuotaExceededError");
      return put.apply(this, args);
    });
  }

  it("keeps neither the record nor a piece, and says so", async () => {
    fill(Infinity);
    await expect(take()).rejects.toMatchObject({ code: "storage_full" });
    expect(await rows("pictures")).toEqual([]);
    expect(await rows("picture_pieces")).toEqual([]);
    expect(await phone.rows.all("photo")).toEqual([]);
  });

  it("gives up the copies of what the practice has, and nothing that it has not", async () => {
    const sent = await take();
    await phone.syncNow();
    await arrived(sent);
    await expect.poll(() => pending().photos_pending).toBe(0);
    offline();
    const waiting = await take();
    fill(1);
    const fresh = await take();
    expect((await rows("pictures")).map((row) => (row as { id: string }).id).sort()).toEqual(
      [waiting, fresh].sort(),
    );
    online();
    await phone.syncNow();
    await arrived(waiting);
    await arrived(fresh);
  });
});

describe("what the practice has", () => {
  it("is fetched and kept, sealed, and opens without a connection", async () => {
    const photo = await take();
    await phone.syncNow();
    await arrived(photo);
    const other = await freshPhone(server);
    expect(await other.photos.small(photo)).toBeNull();
    expect(await (await other.photos.whole(photo)).text()).toContain("heel");
    server.photo = () => Promise.reject(cut());
    expect(await (await other.photos.whole(photo)).text()).toContain("heel");
    const third = await freshPhone(server);
    await expect(third.photos.whole(photo)).rejects.toMatchObject({ code: "no_connection" });
  });

  it("leaves the phone with its row", async () => {
    const photo = await take();
    await phone.syncNow();
    await arrived(photo);
    server.forget = ["c-1"];
    await phone.syncNow();
    await expect.poll(() => rows("picture_pieces")).toEqual([]);
  });

  it("leaves the phone when it is removed", async () => {
    const photo = await take();
    await phone.syncNow();
    await arrived(photo);
    await phone.issue("remove_photo", { photo, reason: "Not hers" });
    await phone.syncNow();
    await expect.poll(() => rows("picture_pieces")).toEqual([]);
  });
});

describe("a photo that was not sent", () => {
  async function signedInAnew(): Promise<PhoneStore> {
    const again = openPhone(server, database);
    await again.start();
    await again.signIn("ann@example.org", "right", "Ann's phone");
    if (valueOf(again.session).phase === "locked") again.startAnew();
    await again.choosePassphrase(NEW_PASSPHRASE);
    return again;
  }

  it("is set aside with a forgotten passphrase, and comes back with it", async () => {
    offline();
    const photo = await take();
    phone.lock();
    online();
    const again = await signedInAnew();
    const [aside] = valueOf(again.setAside);
    expect(aside).toMatchObject({ entries: 1, pictures: 1 });
    expect(await again.photos.small(photo)).toBeNull();
    await again.setAside.bringBack(aside?.id ?? "", PASSPHRASE);
    expect(await (await again.photos.small(photo))?.text()).toBe(SMALL);
    await again.syncNow();
    await arrived(photo);
    expect(valueOf(again.setAside)).toEqual([]);
  });

  it("is not in a file of unsent work, and stays here", async () => {
    offline();
    const photo = await take();
    const { file } = await phone.savedWork.save();
    expect(file.size).toBeLessThan(20_000);
    const other = await freshPhone(new FakeServer());
    expect(await other.savedWork.takeIn(file)).toMatchObject({ entries: 1, pictures: 0 });
    expect(await (await phone.photos.small(photo))?.text()).toBe(SMALL);
  });

  it("is handed in before a phone that is shut out is wiped", async () => {
    offline();
    const photo = await take();
    online();
    server.pullFault = new HttpFault("device_revoked", 403);
    await phone.syncNow();
    await arrived(photo);
    expect(valueOf(phone.session).phase).toBe("revoked");
    expect(await rows("pictures")).toEqual([]);
    expect(await rows("picture_pieces")).toEqual([]);
  });

  it("keeps a phone that is shut out from being wiped while the line is cut", async () => {
    offline();
    const photo = await take();
    online();
    server.pullFault = new HttpFault("device_revoked", 403);
    server.photos.faults.push(null, cut());
    await phone.syncNow();
    expect(valueOf(phone.session).phase).toBe("unlocked");
    await phone.syncNow();
    await arrived(photo);
    expect(valueOf(phone.session).phase).toBe("revoked");
  });

  it("stays sealed on a phone that is shut out at once", async () => {
    offline();
    await take();
    online();
    const shut = new HttpFault("device_revoked", 403);
    server.faults.push(shut);
    server.photos.faults.push(shut);
    server.pullFault = shut;
    await phone.syncNow();
    expect(valueOf(phone.session).phase).toBe("revoked");
    expect(await phone.unsentWork()).toMatchObject({ entries: 1, pictures: 1 });
    expect(await rows("picture_pieces")).toHaveLength(4);
  });

  it("is not written under a key that is the phone's no more", async () => {
    phone.lock();
    const late = await reopen(server, database);
    await late.syncNow();
    await signedInAnew();
    await expect(take(late)).rejects.toMatchObject({ code: "locked" });
    expect(await rows("picture_pieces")).toEqual([]);
  });
});

describe("first aid on the screen", () => {
  it("is not covered by going away, as for a call, and is once it is gone", () => {
    phone.setPin("1234");
    phone.inUse(true);
    phone.hidden();
    phone.shown();
    expect(valueOf(phone.session).phase).toBe("unlocked");
    phone.inUse(false);
    phone.hidden();
    expect(valueOf(phone.session).phase).toBe("covered");
  });
});

describe("the camera's app", () => {
  it("does not cover the phone, for one absence", () => {
    phone.setPin("1234");
    phone.atCamera(true);
    phone.hidden();
    expect(valueOf(phone.session).phase).toBe("unlocked");
    phone.shown();
    phone.hidden();
    expect(valueOf(phone.session).phase).toBe("covered");
  });
});

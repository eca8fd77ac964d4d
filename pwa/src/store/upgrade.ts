/**
 * From every older layout of the database to the present one. There is no key at that time, so boxes are
 * moved as they are. Nothing unsent is ever dropped here.
 */
import type { IDBPDatabase, IDBPTransaction, StoreNames } from "idb";

import type { Progress, Schema, SettledCommand, StoredAside, StoredCommand } from "./db";

export const LAYOUT = 4;

type UpgradeTx = IDBPTransaction<Schema, StoreNames<Schema>[], "versionchange">;

/** Commands carried the number under the present device; the outbox gave none out by itself. */
type Numbered<T> = Omit<T, "number" | "answer"> & { seq: number };
type OldAside = Omit<StoredAside, "outbox" | "refused"> & {
  outbox: Numbered<StoredCommand>[];
  refused: Numbered<SettledCommand>[];
};
type OldProgress = Pick<Progress, "device" | "cursor" | "last_ok_at" | "revoked"> & {
  next_seq: number;
};

/** An upgrade that fails half way leaves the database as it was, for the version of the app that made it. */
export function upgrade(
  db: IDBPDatabase<Schema>,
  from: number,
  _to: number | null,
  tx: UpgradeTx,
): void {
  const steps = async () => {
    if (from < 1) createFirstStores(db);
    if (from < 2) db.createObjectStore("set_aside", { keyPath: "id" });
    if (from < 3) await numberByTheOutbox(db, tx);
    if (from < 4) createPictures(db);
  };
  steps().catch(() => {
    tx.abort();
  });
  // Who opens the database is told.
  tx.done.catch(() => undefined);
}

function createFirstStores(db: IDBPDatabase<Schema>): void {
  db.createObjectStore("rows", { keyPath: ["kind", "id"] }).createIndex("scope", "scope");
  db.createObjectStore("outbox", { keyPath: "seq" });
  db.createObjectStore("settled", { keyPath: "id" }).createIndex("status", "status");
  db.createObjectStore("drafts", { keyPath: "key" });
  db.createObjectStore("meta");
}

/** Layout 3: blocks of base rows, and an outbox whose own key generator numbers the commands. */
async function numberByTheOutbox(db: IDBPDatabase<Schema>, tx: UpgradeTx): Promise<void> {
  db.createObjectStore("blocks", { keyPath: ["kind", "number", "rows"] });
  const waiting = (await tx.objectStore("outbox").getAll()) as unknown as Numbered<StoredCommand>[];
  db.deleteObjectStore("outbox");
  const outbox = db.createObjectStore("outbox", { keyPath: "number", autoIncrement: true });
  const before = (await tx.objectStore("meta").get("progress")) as OldProgress | undefined;
  if (before !== undefined) {
    const { device, next_seq, cursor, last_ok_at, revoked } = before;
    const progress: Progress = {
      device,
      numbered_after: 0,
      cursor,
      base: 0,
      lease: null,
      heard: null,
      gone_through: {},
      last_ok_at,
      revoked,
    };
    await tx.objectStore("meta").put(progress, "progress");
    await goOnAfter(outbox, next_seq - 1);
  }
  for (const command of waiting) await outbox.add(numbered(command));
  await numberSettled(tx);
  await numberSetAside(tx);
}

/** Layout 4: pictures of photos, in pieces. */
function createPictures(db: IDBPDatabase<Schema>): void {
  db.createObjectStore("pictures", { keyPath: "id" });
  db.createObjectStore("picture_pieces", { keyPath: ["picture", "number"] });
}

/** A key generator goes on after the largest key that was ever put by hand. */
export async function goOnAfter(
  outbox: {
    add: (value: StoredCommand) => Promise<number>;
    delete: (key: number) => Promise<void>;
  },
  last: number,
): Promise<void> {
  if (last < 1) return;
  await outbox.add({ number: last, id: "", iv: new Uint8Array(), ct: new Uint8Array() });
  await outbox.delete(last);
}

async function numberSettled(tx: UpgradeTx): Promise<void> {
  const settled = tx.objectStore("settled");
  settled.createIndex("number", "number");
  const old = (await settled.getAll()) as unknown as Numbered<SettledCommand>[];
  for (const command of old) await settled.put({ ...numbered(command), answer: null });
}

async function numberSetAside(tx: UpgradeTx): Promise<void> {
  const store = tx.objectStore("set_aside");
  for (const aside of (await store.getAll()) as unknown as OldAside[]) {
    const refused = aside.refused.map((command) => ({ ...numbered(command), answer: null }));
    await store.put({ ...aside, outbox: aside.outbox.map(numbered), refused });
  }
}

function numbered<T extends { seq: number }>({
  seq,
  ...rest
}: T): Omit<T, "seq"> & { number: number } {
  return { ...rest, number: seq };
}

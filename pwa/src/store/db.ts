/** The phone's database: which stores there are, and writes that are on disk when they say so. */
import {
  type DBSchema,
  type IDBPDatabase,
  type IDBPTransaction,
  openDB,
  type StoreNames,
  unwrap,
} from "idb";

import type { Lease } from "../domain/lease";
import type { Instant, Practice, RulebookBody, Staff } from "../wire/types";
import { Fault } from "./fault";
import type { WrappedKey } from "./passphrase";
import type { Box } from "./seal";
import { goOnAfter, LAYOUT, upgrade } from "./upgrade";

/**
 * Base rows of one kind, in one box. `number` gives the order in which the blocks of a kind are read: the
 * later version of a row wins. `rows` is how many are in it. All three are bound to the box.
 */
export interface StoredBlock extends Box {
  kind: string;
  number: number;
  rows: number;
}

export type BlockKey = [kind: string, number: number, rows: number];

/** A base row as layout 2 kept it, in a box of its own. Read until it has been moved into a block. */
export interface StoredRow extends Box {
  kind: string;
  id: string;
  scope: string;
  version: number;
}

/** `number` counts on this phone, over all the device numbers that it has had. */
export interface StoredCommand extends Box {
  number: number;
  id: string;
}

/**
 * applied: not yet seen in a pull, so still replayed. covered: its effects are in the base rows.
 * refused: waits for a person. dealt_with: a person has seen the refusal.
 */
export type SettledStatus = "applied" | "covered" | "refused" | "dealt_with";

/** `answer` holds the refusal and the incidents, sealed; null where the server had nothing to say. */
export interface SettledCommand extends StoredCommand {
  status: SettledStatus;
  settled_at: number;
  answer: Box | null;
}

export interface StoredDraft extends Box {
  key: string;
}

/**
 * unsent: taken here, the practice has not got it. damaged: the same, and it does not open any more. sent: taken here,
 * and the practice has it. fetched: of somebody else's taking, or taken long ago.
 */
export type PictureState = "unsent" | "damaged" | "sent" | "fetched";

/** A photo's picture; the box has the key to its pieces. `size` is in bytes of the whole, `kept_at` milliseconds. */
export interface StoredPicture extends Box {
  id: string;
  state: PictureState;
  size: number;
  kept_at: number;
}

export interface StoredPiece extends Box {
  picture: string;
  number: number;
}

/**
 * Unsent work under a passphrase that was forgotten, with what opens it again. `settled` is what the server
 * has: not shown and not sent. Where the server loses it, that is in the outbox, and so is what it refused.
 * There is no `settled` where the work came in a file, and there are
 * no pictures in one; the pieces of those named here stay where they are.
 */
export interface StoredAside {
  id: string;
  set_aside_at: string;
  wrapped_key: WrappedKey;
  identity: Box;
  outbox: StoredCommand[];
  refused: SettledCommand[];
  settled?: SettledCommand[];
  drafts: StoredDraft[];
  pictures?: StoredPicture[];
}

/** How far this phone is. */
export interface Progress {
  device: string;
  /** A command's number here, less this, is its number under the present device. */
  numbered_after: number;
  cursor: string | null;
  /** Raised by every write of base rows: who planned a write before another one starts over. */
  base: number;
  lease: Lease | null;
  /**
   * How far the practice's history went in the newest reply: the server says whether it still knows that, and
   * with it the receipts that are kept here. Null before the first reply.
   */
  heard: string | null;
  /** By kind, how many rows its blocks held when they were last gone through as a whole. */
  gone_through: Record<string, number>;
  /** When the last page of a pull was written: all was in step then. */
  last_ok_at: Instant | null;
  revoked: boolean;
}

/** Who works on this phone; kept sealed. */
export interface Identity {
  token: string;
  device: string;
  staff: Staff;
  practice: Practice;
}

/** Far more than anybody makes; and so many keys fit below 2^53 that nobody comes to the end of them either. */
const NUMBERS_UNDER_ONE_KEY = 2 ** 32;

/** The record key, with the lowest number that a command has under it. */
export interface HeldKey {
  key: CryptoKey;
  numbers_from: number;
}

interface Meta {
  progress: Progress;
  /** The lowest number of a command under the present record key. None is 0. */
  numbers_from: number;
  wrapped_key: WrappedKey;
  identity: Box;
  manifest: Box;
  rulebook: RulebookBody;
  contact_times: readonly Instant[];
}

export interface Schema extends DBSchema {
  blocks: { key: BlockKey; value: StoredBlock };
  rows: { key: [string, string]; value: StoredRow; indexes: { scope: string } };
  outbox: { key: number; value: StoredCommand };
  settled: {
    key: string;
    value: SettledCommand;
    indexes: { status: SettledStatus; number: number };
  };
  drafts: { key: string; value: StoredDraft };
  set_aside: { key: string; value: StoredAside };
  pictures: { key: string; value: StoredPicture };
  picture_pieces: { key: [picture: string, number: number]; value: StoredPiece };
  meta: { key: keyof Meta; value: Meta[keyof Meta] };
}

export type StoreName = StoreNames<Schema>;
export type Tx = IDBPTransaction<Schema, StoreName[], "readwrite">;
export type ReadTx = IDBPTransaction<Schema, StoreName[]>;
export type Database = IDBPDatabase<Schema>;

export const ALL_STORES: StoreName[] = [
  "blocks",
  "rows",
  "outbox",
  "settled",
  "drafts",
  "set_aside",
  "pictures",
  "picture_pieces",
  "meta",
];

/** `lost` is told when the browser, or a newer version of the app in another tab, takes the database away. */
export async function openDatabase(name: string, lost: () => void): Promise<Database> {
  try {
    return await openDB<Schema>(name, LAYOUT, {
      upgrade,
      // A newer version of the app in another tab must not wait for this one.
      blocking: (_current, _blocked, event) => {
        (event.target as IDBDatabase).close();
        lost();
      },
      terminated: lost,
    });
  } catch (cause) {
    throw new Fault("storage_broken", { cause });
  }
}

/**
 * Runs `write` in one transaction and returns when it is on disk. `write` may await nothing but the database:
 * a transaction closes by itself while anything else is awaited.
 */
export async function writeStrictly<T>(
  db: Database,
  stores: StoreName[],
  write: (tx: Tx) => Promise<T>,
): Promise<T> {
  try {
    // Chrome's default since 121 is relaxed: "complete" before the bytes are on disk.
    const tx = db.transaction(stores, "readwrite", { durability: "strict" });
    const [result] = await Promise.all([writeOrAbort(tx, write), tx.done]);
    return result;
  } catch (cause) {
    throw storageFault(cause);
  }
}

/**
 * The same for what was sealed before. Throws `locked` where the phone has another record key since, or none:
 * nobody could ever open it.
 */
export function writeUnderKey<T>(
  db: Database,
  { numbers_from }: HeldKey,
  stores: StoreName[],
  write: (tx: Tx) => Promise<T>,
): Promise<T> {
  return writeStrictly(db, [...stores, "meta"], async (tx) => {
    if ((await numbersFrom(tx)) !== numbers_from) throw new Fault("locked");
    return write(tx);
  });
}

/**
 * To be called where the record key goes, once the outbox is empty: its numbers go on far above, so that the
 * number of an entry tells under which key the database was when it was written.
 */
export async function leaveKey(tx: Tx): Promise<void> {
  const number = (await numbersFrom(tx)) + NUMBERS_UNDER_ONE_KEY;
  await goOnAfter(tx.objectStore("outbox"), number);
  await putMeta(tx, "numbers_from", number);
}

async function numbersFrom(tx: Tx): Promise<number> {
  return ((await tx.objectStore("meta").get("numbers_from")) as number | undefined) ?? 0;
}

/**
 * Adds one command at the end of the outbox, and returns its number when it is on disk. Throws `locked` as
 * `writeUnderKey` does.
 */
export async function addStrictly(
  db: Database,
  { numbers_from }: HeldKey,
  command: Omit<StoredCommand, "number">,
): Promise<number> {
  const added = await addAtOnce(db, command);
  if (added < numbers_from + NUMBERS_UNDER_ONE_KEY) return added;
  await writeStrictly(db, ["outbox"], async (tx) => {
    const outbox = tx.objectStore("outbox");
    // By its id: another tab may have given out fresh numbers.
    for (const { id, number } of await outbox.getAll()) {
      if (id === command.id) queue(outbox.delete(number));
    }
  });
  throw new Fault("locked");
}

/**
 * By the browser's own interface: who taps "Save" waits for this, and a promise for every event would make the
 * wait longer.
 */
async function addAtOnce(db: Database, command: Omit<StoredCommand, "number">): Promise<number> {
  try {
    return await new Promise<number>((done, failed) => {
      const tx = unwrap(db).transaction("outbox", "readwrite", { durability: "strict" });
      const adding = tx.objectStore("outbox").add(command);
      tx.oncomplete = () => {
        done(adding.result as number);
      };
      tx.onabort = () => {
        failed(tx.error ?? new Error("unknown"));
      };
      tx.commit();
    });
  } catch (cause) {
    throw storageFault(cause);
  }
}

/** One write of many, not waited for: where it fails, the transaction fails with it. */
export function queue(request: Promise<unknown>): void {
  request.catch(() => undefined);
}

async function writeOrAbort<T>(tx: Tx, write: (tx: Tx) => Promise<T>): Promise<T> {
  try {
    const result = await write(tx);
    commit(tx);
    return result;
  } catch (cause) {
    try {
      tx.abort();
    } catch {
      // It has ended by itself; the cause below says why.
    }
    throw cause;
  }
}

/** Everything is asked for: the database need not come back to hear that there is no more. */
function commit(tx: Tx): void {
  try {
    tx.commit();
  } catch {
    // It has ended by itself.
  }
}

function storageFault(cause: unknown): Error {
  if (cause instanceof Fault) return cause;
  if (!(cause instanceof DOMException))
    return cause instanceof Error ? cause : new Error("unknown");
  return new Fault(cause.name === "QuotaExceededError" ? "storage_full" : "storage_broken", {
    cause,
  });
}

export async function readMeta<K extends keyof Meta>(
  db: Database,
  key: K,
): Promise<Meta[K] | undefined> {
  return (await db.get("meta", key)) as Meta[K] | undefined;
}

export async function putMeta<K extends keyof Meta>(tx: Tx, key: K, value: Meta[K]): Promise<void> {
  await tx.objectStore("meta").put(value, key);
}

/** The progress as a transaction sees it. */
export async function readProgress(tx: Tx | ReadTx): Promise<Progress> {
  const progress = (await tx.objectStore("meta").get("progress")) as Progress | undefined;
  if (progress === undefined) throw new Fault("not_signed_in");
  return progress;
}

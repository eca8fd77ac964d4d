/** The phone's database: which stores there are, and writes that are on disk when they say so. */
import {
  type DBSchema,
  type IDBPDatabase,
  type IDBPTransaction,
  openDB,
  type StoreNames,
} from "idb";

import type { Practice, RulebookBody, Staff } from "../wire/types";
import { Fault } from "./fault";
import type { WrappedKey } from "./passphrase";
import type { Box } from "./seal";

/** A base row as the server sent it. What lies outside the box is bound to it as associated data. */
export interface StoredRow extends Box {
  kind: string;
  id: string;
  scope: string;
  version: number;
}

export interface StoredCommand extends Box {
  seq: number;
  id: string;
}

/**
 * applied: not yet seen in a pull, so still replayed. covered: its effects are in the base rows.
 * refused: waits for a person. dealt_with: a person has seen the refusal.
 */
export type SettledStatus = "applied" | "covered" | "refused" | "dealt_with";

export interface SettledCommand extends StoredCommand {
  status: SettledStatus;
  settled_at: number;
}

export interface StoredDraft extends Box {
  key: string;
}

/** Unsent work under a passphrase that was forgotten, with what opens it again. */
export interface StoredAside {
  id: string;
  set_aside_at: string;
  wrapped_key: WrappedKey;
  identity: Box;
  outbox: StoredCommand[];
  refused: SettledCommand[];
  drafts: StoredDraft[];
}

/** How far this phone is. `next_seq` is the number of the next command made here. */
export interface Progress {
  device: string;
  next_seq: number;
  cursor: string | null;
  epoch: string | null;
  last_ok_at: string | null;
  revoked: boolean;
}

/** Who works on this phone; kept sealed. */
export interface Identity {
  token: string;
  device: string;
  staff: Staff;
  practice: Practice;
}

interface Meta {
  progress: Progress;
  wrapped_key: WrappedKey;
  identity: Box;
  rulebook: RulebookBody;
}

interface Schema extends DBSchema {
  rows: { key: [string, string]; value: StoredRow; indexes: { scope: string } };
  outbox: { key: number; value: StoredCommand };
  settled: { key: string; value: SettledCommand; indexes: { status: SettledStatus } };
  drafts: { key: string; value: StoredDraft };
  set_aside: { key: string; value: StoredAside };
  meta: { key: keyof Meta; value: Meta[keyof Meta] };
}

export type StoreName = StoreNames<Schema>;
export type Tx = IDBPTransaction<Schema, StoreName[], "readwrite">;
export type Database = IDBPDatabase<Schema>;

export const ALL_STORES: StoreName[] = ["rows", "outbox", "settled", "drafts", "set_aside", "meta"];

/** `lost` is told when the browser, or a newer version of the app in another tab, takes the database away. */
export async function openDatabase(name: string, lost: () => void): Promise<Database> {
  try {
    return await openDB<Schema>(name, 2, {
      upgrade(db, from) {
        if (from < 1) createFirstStores(db);
        db.createObjectStore("set_aside", { keyPath: "id" });
      },
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

function createFirstStores(db: Database): void {
  db.createObjectStore("rows", { keyPath: ["kind", "id"] }).createIndex("scope", "scope");
  db.createObjectStore("outbox", { keyPath: "seq" });
  db.createObjectStore("settled", { keyPath: "id" }).createIndex("status", "status");
  db.createObjectStore("drafts", { keyPath: "key" });
  db.createObjectStore("meta");
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

/** One write of many, not waited for: where it fails, the transaction fails with it. */
export function queue(request: Promise<unknown>): void {
  request.catch(() => undefined);
}

async function writeOrAbort<T>(tx: Tx, write: (tx: Tx) => Promise<T>): Promise<T> {
  try {
    return await write(tx);
  } catch (cause) {
    try {
      tx.abort();
    } catch {
      // It has ended by itself; the cause below says why.
    }
    throw cause;
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

/** Reads the progress inside a transaction, changes it, and writes it back. */
export async function moveProgress(
  tx: Tx,
  change: (before: Progress) => Partial<Progress>,
): Promise<Progress> {
  const before = (await tx.objectStore("meta").get("progress")) as Progress | undefined;
  if (before === undefined) throw new Fault("not_signed_in");
  await putMeta(tx, "progress", { ...before, ...change(before) });
  return before;
}

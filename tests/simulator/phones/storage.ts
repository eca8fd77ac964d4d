/**
 * The phones' IndexedDB, with the moment of a fault in the scheduler's hands: a full disk at a given write,
 * the death of a page at a given commit, and what a dead page had begun is as if it had never been.
 */
import "fake-indexeddb/auto";

import { ground, type Page } from "./ground";

/** What fake-indexeddb keeps beside the standard's interface. */
interface Connection extends IDBDatabase {
  _closePending: boolean;
  _closed: boolean;
  _rawDatabase: { connections: Connection[]; transactions: Transaction[] };
}
interface Transaction extends IDBTransaction {
  db: Connection;
  _state: string;
  _start: () => void;
  _abort: (name: string | null) => void;
  _execRequestAsync: (asked: { operation: () => unknown }) => IDBRequest;
}

/** A page that may meet with a fault of its storage. */
export interface FaultyPage extends Page {
  /** Called at each write; returns whether the disk is full. */
  writes: () => boolean;
  /** Called when a transaction has been written, before the page hears of it. */
  committed: () => void;
}

const connections = new Map<Page, Set<Connection>>();
const pages = new WeakMap<IDBDatabase, FaultyPage>();
let writing = false;

function belongs(connection: Connection): void {
  const page = ground.page as FaultyPage | null;
  if (page === null || pages.has(connection)) return;
  pages.set(connection, page);
  connections.set(page, (connections.get(page) ?? new Set()).add(connection));
}

export function layStorage(): void {
  const { transaction: begin } = IDBDatabase.prototype;
  IDBDatabase.prototype.transaction = function (this: IDBDatabase, ...given) {
    belongs(this as Connection);
    return begin.apply(this, given);
  };
  const transaction = IDBTransaction.prototype as unknown as Transaction;
  const { _start, _execRequestAsync, dispatchEvent } = transaction;
  transaction._start = function (this: Transaction) {
    // Whatever set it off, what follows is this page's.
    ground.page = pages.get(this.db) ?? ground.page;
    _start.call(this);
  };
  transaction._execRequestAsync = function (this: Transaction, asked) {
    const full = writing && pages.get(this.db)?.writes() === true;
    return _execRequestAsync.call(
      this,
      full ? { ...asked, operation: fail } : asked,
    );
  };
  transaction.dispatchEvent = function (this: Transaction, event) {
    if (event.type === "complete" && this.mode === "readwrite")
      pages.get(this.db)?.committed();
    return dispatchEvent.call(this, event);
  };
  watchWrites("put");
  watchWrites("add");
  const { open } = IDBFactory.prototype;
  IDBFactory.prototype.open = function (this: IDBFactory, ...given) {
    // A dead page would open what was closed under it.
    return ground.page?.alive === false
      ? new IDBOpenDBRequest()
      : open.apply(this, given);
  };
}

function watchWrites(name: "put" | "add"): void {
  const store = IDBObjectStore.prototype;
  const write = store[name];
  store[name] = function (
    this: IDBObjectStore,
    ...given: Parameters<IDBObjectStore["put"]>
  ) {
    writing = true;
    try {
      return write.apply(this, given);
    } finally {
      writing = false;
    }
  };
}

function fail(): never {
  throw new DOMException("the disk is full", "QuotaExceededError");
}

/** The page is gone: its unfinished transactions are undone, and its connections are closed. */
export function cutOff(page: Page): void {
  for (const connection of connections.get(page) ?? []) {
    const raw = connection._rawDatabase;
    const begun = raw.transactions.filter(
      ({ db, _state }) => db === connection && _state !== "finished",
    );
    for (const transaction of begun) transaction._abort("AbortError");
    connection._closePending = true;
    connection._closed = true;
    raw.connections = raw.connections.filter((other) => other !== connection);
  }
  connections.delete(page);
}

export function emptyStorage(): void {
  connections.clear();
  Object.assign(globalThis, { indexedDB: new IDBFactory() });
}

/**
 * All that lies in one store of a phone's database, read beside the app. Only while the phone is at rest.
 * `run` runs what is to be done for nobody's page; all of it, so that no reading is left open.
 */
export async function readStore(
  database: string,
  store: string,
  run: () => Promise<void>,
): Promise<unknown[]> {
  let found: unknown[] | null = null;
  ground.page = null;
  const opening = indexedDB.open(database);
  opening.onsuccess = () => {
    const db = opening.result;
    const reading = db.transaction(store).objectStore(store).getAll();
    reading.onsuccess = () => {
      found = reading.result;
      db.close();
    };
  };
  while (found === null) await run();
  await run();
  return found;
}

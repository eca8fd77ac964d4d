/**
 * A bare IndexedDB log with strict durability, unsealed: one put a document, one transaction a page; an
 * edit is one added entry in one transaction.
 */
import { ask, check, edited, took } from "./measured.js";

const PAGE = 500;
const PUSHED_AT_ONCE = 100;
let db;

function request(asked) {
  return new Promise((done, failed) => {
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
}

function write(stores, put) {
  return new Promise((done, failed) => {
    const tx = db.transaction(stores, "readwrite", { durability: "strict" });
    tx.oncomplete = () => done();
    tx.onabort = () => failed(tx.error);
    put(tx);
  });
}

const all = (store, ...which) =>
  request(
    db
      .transaction(store)
      .objectStore(store)
      .getAll(...which),
  );

async function pull() {
  for (;;) {
    const after = (await request(db.transaction("meta").objectStore("meta").get("after"))) ?? 0;
    const page = await ask("/pull", { after, limit: PAGE });
    if (page.documents.length === 0) return;
    await write(["documents", "meta"], (tx) => {
      const documents = tx.objectStore("documents");
      for (const document of page.documents) documents.put(document);
      tx.objectStore("meta").put(page.after, "after");
    });
    if (page.documents.length < PAGE) return;
  }
}

globalThis.peer = {
  async open() {
    const opening = indexedDB.open("bare", 1);
    opening.onupgradeneeded = () => {
      opening.result.createObjectStore("documents", { keyPath: "key" });
      opening.result.createObjectStore("outbox", { autoIncrement: true });
      opening.result.createObjectStore("meta");
    };
    db = await request(opening);
  },

  async firstSync(count) {
    const durable = await took(pull);
    const read = await took(async () => {
      const documents = await all("documents");
      check(documents.length === count, `${documents.length} of ${count} documents`);
    });
    return { durable, readable: durable + read };
  },

  async edits(count) {
    const clients = (await all("documents"))
      .filter(({ kind }) => kind === "client")
      .slice(0, count);
    const made = clients.map(({ key, row }, number) => ({ key, row: edited(row, number) }));
    return took(async () => {
      for (const edit of made) await write(["outbox"], (tx) => tx.objectStore("outbox").add(edit));
    });
  },

  kept: async () => (await all("outbox")).length,

  push: () =>
    took(async () => {
      for (;;) {
        const keys = await request(
          db.transaction("outbox").objectStore("outbox").getAllKeys(null, PUSHED_AT_ONCE),
        );
        if (keys.length === 0) return;
        await ask("/push", { edits: await all("outbox", null, PUSHED_AT_ONCE) });
        await write(["outbox"], (tx) => {
          for (const key of keys) tx.objectStore("outbox").delete(key);
        });
      }
    }),

  settle: pull,
  idle: () => took(pull),

  changes: (keys, note) =>
    took(async () => {
      await pull();
      const store = db.transaction("documents").objectStore("documents");
      const changed = await Promise.all(keys.map((key) => request(store.get(key))));
      check(
        changed.every(({ row }) => row.note === note),
        "the changes are not there",
      );
    }),
};

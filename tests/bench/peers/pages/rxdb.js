/** RxDB with its Dexie storage and its replication plugin, as its documentation sets them up. */
import { createRxDatabase } from "rxdb/plugins/core";
import { replicateRxCollection } from "rxdb/plugins/replication";
import { getRxStorageDexie } from "rxdb/plugins/storage-dexie";

import { ask, check, edited, took } from "./measured.js";

const PAGE = 500;
const PUSHED_AT_ONCE = 100;
const text = { type: "string" };
const schema = {
  version: 0,
  primaryKey: "key",
  type: "object",
  properties: {
    key: { type: "string", maxLength: 80 },
    kind: text,
    id: text,
    scope: text,
    version: { type: "number" },
    row: { type: "object" },
  },
  required: ["key", "kind", "id", "scope", "version", "row"],
};
let documents;
let replication;
let pulls = 0;

async function pulled(checkpoint, limit) {
  pulls += 1;
  return ask("/pull", { checkpoint, limit });
}

function replicate() {
  replication = replicateRxCollection({
    collection: documents,
    replicationIdentifier: "loopback",
    live: true,
    waitForLeadership: false,
    pull: { batchSize: PAGE, handler: pulled },
    push: { batchSize: PUSHED_AT_ONCE, handler: (changes) => ask("/push", changes) },
  });
  replication.error$.subscribe((fault) => {
    throw fault;
  });
}

async function pull() {
  const before = pulls;
  replication.reSync();
  await replication.awaitInSync();
  check(pulls > before, "nothing was pulled");
}

globalThis.peer = {
  async open() {
    const db = await createRxDatabase({
      name: "rxdb",
      storage: getRxStorageDexie(),
      multiInstance: false,
    });
    ({ documents } = await db.addCollections({ documents: { schema } }));
  },

  async firstSync(count) {
    const durable = await took(async () => {
      replicate();
      await replication.awaitInitialReplication();
    });
    const read = await took(async () => {
      const found = await documents.find().exec();
      check(found.length === count, `${found.length} of ${count} documents`);
    });
    await replication.pause();
    return { durable, readable: durable + read };
  },

  async edits(count) {
    const selector = { kind: "client" };
    const clients = await documents.find({ selector, limit: count }).exec();
    return took(async () => {
      for (const [number, client] of clients.entries()) {
        await client.patch({ row: edited(client.toJSON().row, number) });
      }
    });
  },

  async kept() {
    const clients = await documents.find({ selector: { kind: "client" } }).exec();
    return clients.filter((client) => client.row.note.startsWith("Edit ")).length;
  },

  push: () =>
    took(async () => {
      await replication.start();
      await replication.awaitInSync();
    }),

  settle: pull,
  idle: () => took(pull),

  changes: (keys, note) =>
    took(async () => {
      await pull();
      const changed = await documents.findByIds(keys).exec();
      check(changed.size === keys.length, "changed documents are missing");
      check(
        [...changed.values()].every(({ row }) => row.note === note),
        "the changes are not there",
      );
    }),
};

/** PouchDB in the browser, replicating with express-pouchdb. Its pages are as long as everybody's. */
import PouchDB from "pouchdb-browser";

import { check, edited, took } from "./measured.js";

const PAGE = { batch_size: 500 };
let local;
let remote;

const pull = () => local.replicate.from(remote, PAGE);

globalThis.peer = {
  async open() {
    local = new PouchDB("pouch");
    remote = new PouchDB(`${location.origin}/pouch/held`);
    await Promise.all([local.info(), remote.info()]);
  },

  async firstSync(count) {
    const durable = await took(pull);
    const read = await took(async () => {
      const { rows } = await local.allDocs({ include_docs: true });
      check(rows.length === count, `${rows.length} of ${count} documents`);
    });
    return { durable, readable: durable + read };
  },

  async edits(count) {
    const cards = { startkey: "client:", endkey: "client;", limit: count, include_docs: true };
    const { rows } = await local.allDocs(cards);
    const made = rows.map(({ doc }, number) => ({ ...doc, row: edited(doc.row, number) }));
    return took(async () => {
      for (const document of made) await local.put(document);
    });
  },

  async kept() {
    const { rows } = await local.allDocs({
      startkey: "client:",
      endkey: "client;",
      include_docs: true,
    });
    return rows.filter(({ doc }) => doc.row.note.startsWith("Edit ")).length;
  },

  push: () => took(() => local.replicate.to(remote, PAGE)),
  settle: pull,
  idle: () => took(pull),

  changes: (keys, note) =>
    took(async () => {
      await pull();
      const { rows } = await local.allDocs({ keys, include_docs: true });
      check(
        rows.every(({ doc }) => doc.row.note === note),
        "the changes are not there",
      );
    }),
};

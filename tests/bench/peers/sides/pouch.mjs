/** CouchDB's replication protocol by express-pouchdb, over PouchDB's in-memory storage. */
import express from "express";
import expressPouch from "express-pouchdb";
import memory from "pouchdb-adapter-memory";
import PouchCore from "pouchdb-core";
import mapreduce from "pouchdb-mapreduce";
import replication from "pouchdb-replication";

import { Documents } from "./documents.mjs";

export async function open(recorded) {
  const documents = new Documents(recorded);
  const Pouch = PouchCore.plugin(memory).plugin(mapreduce).plugin(replication);
  const InMemory = Pouch.defaults({ adapter: "memory" });
  const held = new InMemory("held");
  const filled = [...documents.byKey.values()].map(({ key, ...document }) => ({
    _id: key,
    ...document,
  }));
  await held.bulkDocs(filled);
  const before = new Set((await revisions(held)).values());

  const app = express();
  app.post("/bench/change", express.json(), (request, reply, next) => {
    change(held, documents, request.body).then((keys) => reply.json(keys), next);
  });
  app.get("/bench/received", (_request, reply, next) => {
    revisions(held).then((now) => {
      reply.json([...now].filter(([, rev]) => !before.has(rev)).map(([key]) => key));
    }, next);
  });
  app.use("/pouch", expressPouch(InMemory, { mode: "minimumForPouchDB", inMemoryConfig: true }));
  return { routes: {}, fallback: app };
}

async function change(held, documents, { count, note }) {
  const keys = documents.change(count, note);
  const { rows } = await held.allDocs({ keys, include_docs: true });
  await held.bulkDocs(rows.map(({ doc }) => ({ ...doc, row: { ...doc.row, note } })));
  return keys;
}

async function revisions(held) {
  const { rows } = await held.allDocs();
  return new Map(rows.map(({ id, value }) => [id, `${id}@${value.rev}`]));
}

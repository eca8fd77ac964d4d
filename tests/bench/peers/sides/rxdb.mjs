/** RxDB's replication protocol (rxdb.info/replication-http.html), with a number as its checkpoint. */
import { Documents } from "./documents.mjs";

export function open(recorded) {
  const documents = new Documents(recorded);
  return {
    routes: {
      "POST /pull": ({ checkpoint, limit }) => {
        const after = checkpoint?.version ?? 0;
        const found = documents.after(after, limit);
        const version = found.at(-1)?.version ?? after;
        const live = found.map((document) => ({ ...document, _deleted: false }));
        return { body: { documents: live, checkpoint: { version } } };
      },
      "POST /push": (changes) => {
        for (const { newDocumentState } of changes) {
          const { _deleted, ...document } = newDocumentState;
          documents.put(document);
          documents.received.add(document.key);
        }
        return { body: [] };
      },
      "POST /bench/change": ({ count, note }) => ({ body: documents.change(count, note) }),
      "GET /bench/received": () => ({ body: [...documents.received] }),
    },
  };
}

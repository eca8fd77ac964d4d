/** Documents after a number, and edits appended: the least a server of a log can do. */
import { Documents } from "./documents.mjs";

export function open(recorded) {
  const documents = new Documents(recorded);
  return {
    routes: {
      "POST /pull": ({ after, limit }) => {
        const found = documents.after(after, limit);
        return { body: { documents: found, after: found.at(-1)?.version ?? after } };
      },
      "POST /push": ({ edits }) => {
        for (const { key, row } of edits) {
          documents.put({ ...documents.byKey.get(key), row });
          documents.received.add(key);
        }
        return { body: { taken: edits.length } };
      },
      "POST /bench/change": ({ count, note }) => ({ body: documents.change(count, note) }),
      "GET /bench/received": () => ({ body: [...documents.received] }),
    },
  };
}

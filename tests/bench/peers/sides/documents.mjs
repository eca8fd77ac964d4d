/** The recorded rows as documents with a server-given number, newest last: what each peer is given. */

export class Documents {
  constructor(recorded) {
    this.newest = 0;
    this.byKey = new Map();
    for (const page of recorded.pages) for (const row of page.rows) this.put(documentOf(row));
    this.received = new Set();
  }

  get count() {
    return this.byKey.size;
  }

  put(document) {
    this.newest += 1;
    this.byKey.delete(document.key);
    this.byKey.set(document.key, { ...document, version: this.newest });
  }

  /** A Map keeps the order in which its keys were put, so this is the order of versions. */
  after(version, limit) {
    const found = [];
    for (const document of this.byKey.values()) {
      if (document.version > version) found.push(document);
      if (found.length === limit) break;
    }
    return found;
  }

  /** Somebody else writes a note on so many clients' cards; returns their keys. */
  change(count, note) {
    const clients = [...this.byKey.values()]
      .filter(({ kind }) => kind === "client")
      .slice(0, count);
    for (const client of clients) this.put({ ...client, row: { ...client.row, note } });
    return clients.map(({ key }) => key);
  }
}

export function documentOf({ kind, id, scope, version, row }) {
  return { key: `${kind}:${id}`, kind, id, scope, version, row };
}

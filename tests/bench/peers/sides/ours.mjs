/**
 * Plays back what the real server said (tests/bench/recorded.py): sign-in, pages, receipts. Until POST
 * /bench/fill a pull finds nothing, so that signing in and the rulebook are no part of the first sync.
 */
import { Documents } from "./documents.mjs";

const NOTHING = "bench:nothing";

export function open(recorded) {
  const documents = new Documents(recorded);
  const pageAt = new Map([[NOTHING, recorded.pages[0]]]);
  recorded.pages.slice(0, -1).forEach(({ cursor }, index) => {
    pageAt.set(cursor, recorded.pages[index + 1]);
  });
  let [filled, nextSeq, changed] = [false, 1, []];

  function present(reply, device) {
    const now = "now" in reply ? { now: new Date().toISOString() } : {};
    return { ...reply, device, next_seq: nextSeq, ...now };
  }

  function pull({ device, cursor }) {
    if (!filled)
      return present({ ...recorded.pages[0], rows: [], more: false, cursor: NOTHING }, device);
    const page = pageAt.get(cursor);
    if (page !== undefined) return present(page, device);
    const at = `bench:${documents.newest}`;
    const rows = cursor === at ? [] : changed;
    return present({ ...recorded.idle, cursor: rows.length > 0 ? at : cursor, rows }, device);
  }

  function push({ device, commands }) {
    const results = commands.map(({ id, seq }) => {
      documents.received.add(id);
      nextSeq = seq + 1;
      return { id, seq, status: "applied", refusal: null, incidents: [] };
    });
    return present({ ...recorded.pushed, results }, device);
  }

  function change({ count, note }) {
    const keys = documents.change(count, note);
    changed = keys.map((key) => documents.byKey.get(key));
    changed = changed.map(({ key, ...row }) => ({
      ...row,
      version: recorded.newest + row.version,
    }));
    return keys;
  }

  return {
    routes: {
      "POST /_allauth/app/v1/auth/login": () => ({ body: recorded.login }),
      "DELETE /_allauth/app/v1/auth/session": () => ({ body: {} }),
      "POST /api/devices": ({ device }) => ({ body: present(recorded.enrolled, device) }),
      "POST /api/pull": (asked) => ({ body: pull(asked) }),
      "POST /api/push": (pushed) => ({ body: push(pushed) }),
      "GET /api/rulebook": (_body, { headers }) =>
        "if-none-match" in headers ? { status: 304 } : { body: recorded.rulebook },
      "POST /bench/fill": () => ((filled = true), { body: {} }),
      "POST /bench/change": (asked) => ({ body: change(asked) }),
      "GET /bench/received": () => ({ body: [...documents.received] }),
    },
  };
}

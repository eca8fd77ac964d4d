/**
 * The phone's own store as it ships, every record sealed. Signal is taken away and given by a switch
 * before `fetch`, as the browser itself refuses when there is none.
 */
import { openInBrowser } from "../../../../pwa/src/store/browser.ts";
import { ask, check, noteOf, took } from "./measured.js";

const PASSPHRASE = "seven quiet herons";
const KINDS = ["client", "booking", "health_screen", "consent", "staff", "device", "practice"];
const online = globalThis.fetch.bind(globalThis);
let signal = true;
let store;

globalThis.fetch = (...asked) =>
  signal ? online(...asked) : Promise.reject(new TypeError("no signal"));

function until(observable, holds) {
  return new Promise((done) => {
    let stop = () => undefined;
    stop = observable.subscribe((value) => {
      if (!holds(value)) return;
      queueMicrotask(() => stop());
      done(value);
    });
  });
}

async function read() {
  const held = await Promise.all(KINDS.map((kind) => store.rows.all(kind)));
  return held.flat();
}

async function open() {
  store = openInBrowser();
  return until(store.session, ({ phase }) => phase !== "starting");
}

globalThis.peer = {
  /** Signs in as well: the passphrase's stretching is the same for five records and five thousand. */
  async open() {
    const { phase } = await open();
    if (phase === "locked") {
      signal = false;
      await store.unlock(PASSPHRASE);
      return;
    }
    await store.signIn("owner@practice.test", "any", "bench");
    await store.choosePassphrase(PASSPHRASE);
    await store.syncNow();
  },

  async firstSync(count) {
    await ask("/bench/fill", {});
    const durable = await took(() => store.syncNow());
    const readable = await took(async () => {
      const held = await read();
      check(held.length === count, `${held.length} of ${count} rows`);
    });
    signal = false;
    return { durable, readable: durable + readable };
  },

  async edits(count) {
    const clients = (await store.rows.all("client")).slice(0, count);
    return took(async () => {
      for (const [number, { id, version }] of clients.entries()) {
        const changes = { note: noteOf(number) };
        await store.issue("amend_client", { client: id, seen: version, changes });
      }
    });
  },

  /** Counted on the phone, and again where they are all delivered to. */
  async kept() {
    const { pending } = await until(store.syncState, () => true);
    await this.push();
    const received = await online("/bench/received").then((reply) => reply.json());
    return Math.min(pending, received.length);
  },

  push() {
    signal = true;
    return took(async () => {
      void store.syncNow();
      await until(store.syncState, ({ pending }) => pending === 0);
    });
  },

  settle: () => store.syncNow(),
  idle: () => took(() => store.syncNow()),

  changes: (keys, note) =>
    took(async () => {
      await store.syncNow();
      const ids = keys.map((key) => key.split(":")[1]);
      const changed = await Promise.all(ids.map((id) => store.rows.get("client", id)));
      check(
        changed.every((held) => held?.row.note === note),
        "the changes are not there",
      );
    }),
};

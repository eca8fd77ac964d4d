/**
 * The phone's own store as it ships, every record sealed. Signal is taken away and given by a switch
 * before `fetch`, as the browser itself refuses when there is none.
 */
import { openInBrowser } from "../../../../pwa/src/store/browser.ts";
import { check, noteOf, took } from "./measured.js";

const PASSPHRASE = "seven quiet herons";
const KEPT = ["client", "booking", "health_screen", "consent", "incident"];
const KINDS = [...KEPT, "staff", "device", "practice"];

const online = globalThis.fetch.bind(globalThis);
let signal = true;
let pullsMayGo = Promise.resolve();
let store;

globalThis.fetch = async (path, ...more) => {
  if (!signal) throw new TypeError("no signal");
  if (path === "/api/pull") await pullsMayGo;
  return online(path, ...more);
};

/** Every pull waits until the returned function is called. */
export function holdPulls() {
  let letGo = () => undefined;
  pullsMayGo = new Promise((done) => (letGo = done));
  return letGo;
}

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

export const inStep = () =>
  until(store.syncState, ({ state, last_ok_at }) => state === "idle" && last_ok_at !== null);

/** A round that fails is tried again by itself, and the wait goes on. */
export async function syncNow() {
  await store.syncNow();
  await inStep();
}

/** Signs in for the first time, and says so; the second time the profile is opened, without signal. */
export async function enter(email, password) {
  store = openInBrowser();
  const { phase } = await until(store.session, ({ phase }) => phase !== "starting");
  if (phase === "locked") {
    signal = false;
    await store.unlock(PASSPHRASE);
    return false;
  }
  await store.signIn(email, password, "bench");
  await store.choosePassphrase(PASSPHRASE);
  return true;
}

/** `sync` fetches everything; then every record is opened from the disk. */
export async function firstSync(count, sync) {
  const durable = await took(sync);
  const read = await took(async () => {
    const held = await Promise.all(KINDS.map((kind) => store.rows.all(kind)));
    check(held.flat().length >= count, `${held.flat().length} of ${count} rows`);
  });
  signal = false;
  return { durable, readable: durable + read };
}

export const measures = {
  async edits(count) {
    const clients = (await store.rows.all("client")).slice(0, count);
    return took(async () => {
      for (const [number, { id, version }] of clients.entries()) {
        const changes = { note: noteOf(number) };
        await store.issue("amend_client", { client: id, seen: version, changes });
      }
    });
  },

  push() {
    signal = true;
    return took(async () => {
      void store.syncNow();
      await until(store.syncState, ({ pending }) => pending === 0);
    });
  },

  settle: syncNow,
  idle: () => took(syncNow),

  changes: (keys, note) =>
    took(async () => {
      await syncNow();
      const ids = keys.map((key) => key.split(":")[1]);
      const changed = await Promise.all(ids.map((id) => store.rows.get("client", id)));
      check(
        changed.every((held) => held?.row.note === note),
        "the changes are not there",
      );
    }),

  /** Counted on the phone, and again where they are all delivered to. */
  async kept() {
    const { pending } = await until(store.syncState, () => true);
    await measures.push();
    const received = await online("/bench/received").then((reply) => reply.json());
    return Math.min(pending, received.length);
  },
};

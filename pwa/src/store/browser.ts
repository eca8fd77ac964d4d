/** Ties the store to the browser: its events, its other tabs, its promise to keep the storage. */
import { uuid7 } from "../domain/ids";
import { openHttp } from "../wire/http";
import { LOCK_SETTINGS } from "./lock";
import type { Word } from "./phone";
import { PhoneStore } from "./phone_store";
import { randomBytes } from "./seal";
import { isNearlyFull } from "./storage_room";
import { TabWords } from "./tab_words";

const NAME = "heelwright";
const TICK = 5_000;
/** Between two looks at how much room is left. */
const LOOK = 60_000;

export function openInBrowser(): PhoneStore {
  const tabs = new BroadcastChannel(NAME);
  const words = new TabWords((word) => {
    tabs.postMessage(word);
  });
  const store = new PhoneStore({
    database: NAME,
    http: openHttp(fetch.bind(globalThis), ""),
    lockSettings: LOCK_SETTINGS,
    now: () => new Date(),
    newId: () => uuid7(Date.now(), randomBytes(10)),
    tellTabs: (word) => {
      words.say(word);
    },
    alone: aloneAmongTabs,
  });
  tabs.addEventListener("message", (event: MessageEvent<Word>) => void store.heard(event.data));
  listen(store);
  addEventListener("pagehide", () => {
    words.sayWaiting();
  });
  void store.start();
  return store;
}

/** The browser gives the lock on at once when the tab that holds it is closed or killed. */
async function aloneAmongTabs<T>(work: () => Promise<T>, waiting: () => void): Promise<T> {
  const lock = `${NAME}-sync`;
  const done = await navigator.locks.request(lock, { ifAvailable: true }, async (free) =>
    free === null ? null : { result: await work() },
  );
  if (done !== null) return done.result;
  waiting();
  return navigator.locks.request(lock, work);
}

function listen(store: PhoneStore): void {
  addEventListener("online", () => void store.syncNow());
  addEventListener("pagehide", () => {
    store.cover();
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden") {
      store.hidden();
      return;
    }
    store.shown();
    void look(store);
  });
  setInterval(() => {
    store.tick();
  }, TICK);
  setInterval(() => void look(store), LOOK);
  askToKeepStorage(store);
}

/** Safari may drop storage after seven days without use; an installed app that asks is spared. */
function askToKeepStorage(store: PhoneStore): void {
  let asked = false;
  store.session.subscribe(({ phase }) => {
    if (phase !== "unlocked" || asked) return;
    asked = true;
    void navigator.storage.persist().then(() => look(store));
  });
}

async function look(store: PhoneStore): Promise<void> {
  const [kept, room] = await Promise.all([
    navigator.storage.persisted(),
    navigator.storage.estimate(),
  ]);
  store.storageIs({ kept, nearly_full: isNearlyFull(room) });
}

/** Ties the store to the browser: its events, its other tabs, its promise to keep the storage. */
import { uuid7 } from "../domain/ids";
import { openHttp } from "../wire/http";
import { LOCK_SETTINGS } from "./lock";
import type { Word } from "./phone";
import { PhoneStore } from "./phone_store";
import { randomBytes } from "./seal";

const NAME = "heelwright";
const TICK = 5_000;

export function openInBrowser(): PhoneStore {
  const tabs = new BroadcastChannel(NAME);
  const store = new PhoneStore({
    database: NAME,
    http: openHttp(fetch.bind(globalThis), ""),
    lockSettings: LOCK_SETTINGS,
    now: () => new Date(),
    newId: () => uuid7(Date.now(), randomBytes(10)),
    tellTabs: (word) => {
      tabs.postMessage(word);
    },
    alone: aloneAmongTabs,
  });
  tabs.addEventListener("message", (event: MessageEvent<Word>) => void store.heard(event.data));
  listen(store);
  void store.start();
  return store;
}

async function aloneAmongTabs<T>(work: () => Promise<T>): Promise<T | undefined> {
  return navigator.locks.request(`${NAME}-sync`, { ifAvailable: true }, async (lock) =>
    lock === null ? undefined : work(),
  );
}

function listen(store: PhoneStore): void {
  addEventListener("online", () => void store.syncNow());
  addEventListener("pagehide", () => {
    store.cover();
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden") {
      store.cover();
      return;
    }
    store.tick();
    void store.syncNow();
  });
  setInterval(() => {
    store.tick();
  }, TICK);
  askToKeepStorage(store);
}

/** Safari may drop storage after seven days without use; an installed app that asks is spared. */
function askToKeepStorage(store: PhoneStore): void {
  let asked = false;
  store.session.subscribe(({ phase }) => {
    if (phase !== "unlocked" || asked) return;
    asked = true;
    void navigator.storage.persist().then((kept) => {
      store.storageKept(kept);
    });
  });
}

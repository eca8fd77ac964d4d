/** Whether the app opens on this phone without a signal. */
import { readable } from "svelte/store";

/** "never": this browser keeps no app, such as some in a private window. */
export type AppKept = "yes" | "not_yet" | "never";

const workers = serviceWorkers();

export const appKept = readable<AppKept>(now(), (set) => {
  // A worker that has begun has kept the whole app, also where a forced reload went past it.
  void workers?.ready.then(() => {
    set("yes");
  });
});

/** A browser without them, or a page that is not served over HTTPS, has none. */
export function serviceWorkers(): ServiceWorkerContainer | undefined {
  const page = globalThis as { navigator?: Partial<Navigator> };
  return page.navigator?.serviceWorker;
}

function now(): AppKept {
  if (!workers) return "never";
  return workers.controller ? "yes" : "not_yet";
}

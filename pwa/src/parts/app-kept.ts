/** Whether this page came from what the phone keeps of the app, or does from now on: without that it needs a signal. */
import { readable } from "svelte/store";

export const appKept = readable(kept(), (set) => {
  const workers = serviceWorkers();
  const look = () => {
    set(kept());
  };
  look();
  workers?.addEventListener("controllerchange", look);
  return () => workers?.removeEventListener("controllerchange", look);
});

/** A browser without them, or a page that is not served over HTTPS, has none. */
function serviceWorkers(): ServiceWorkerContainer | undefined {
  const page = globalThis as { navigator?: Partial<Navigator> };
  return page.navigator?.serviceWorker;
}

function kept(): boolean {
  return Boolean(serviceWorkers()?.controller);
}

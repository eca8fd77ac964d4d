import { store } from "../store";
import { serviceWorkers } from "./app-kept";

/** Whether the app would start again here and now: with a signal, or from what its worker has kept. */
export async function isKept(): Promise<boolean> {
  if (navigator.onLine) return true;
  const worker = await serviceWorkers()?.getRegistration();
  return (worker?.active ?? null) !== null;
}

/** The app as it is now, in place of the one that runs, once what is half written is kept. */
export async function startAgain(): Promise<void> {
  await store.drafts.flush().catch(() => undefined);
  location.reload();
}

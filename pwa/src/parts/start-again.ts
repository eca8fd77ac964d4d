import { store } from "../store";

/** The app as it is now, in place of the one that runs, once what is half written is kept. */
export async function startAgain(): Promise<void> {
  await store.drafts.flush().catch(() => undefined);
  location.reload();
}

/** A moment of the phone's clock by the server's, as far as the phone knows that. Renewed with each answer of it. */
import { fromStore } from "svelte/store";

import { store } from "../store";
import { serverTime } from "../store/clock_off";

const sync = fromStore(store.syncState);

export function byServer(at: Date): Date {
  return serverTime(at, sync.current.clock_off_seconds);
}

/** What is to be warned of just now. */
import { derived } from "svelte/store";

import { store } from "../store";
import { appKept } from "./app-kept";
import { syncWarnings } from "./sync-words";

const DAY = 86_400;

export const warnings = derived(
  [store.syncState, store.session, store.rows.live("practice"), appKept],
  ([sync, { lease_left_seconds: left }, practices, kept]) => {
    const days = practices?.[0]?.row.lease_days;
    const known = left !== null && days !== undefined;
    return syncWarnings(sync, known ? { left, whole: days * DAY } : null, kept);
  },
);

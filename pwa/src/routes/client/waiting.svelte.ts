/** The letters of all clients that wait for a clinician's word, live: for the day, the list and its count alike. */
import { fromStore } from "svelte/store";
import { refersOn, waitingReferrals } from "../../domain/referrals";
import { store, type Held } from "../../store";
import { dayKey } from "../../words/format";
import { openFiles } from "./open-file.svelte";

export function waitingNow(): { readonly list: readonly Held<"referral">[] } {
  const referrals = fromStore(store.rows.live("referral"));
  const clearances = fromStore(store.rows.live("clearance"));
  const files = openFiles();
  // A letter that only asks for a clearance may be settled by what was found since, which the client's file knows.
  const waits = (letter: Held<"referral">) =>
    refersOn(letter) || !files.of(letter.row.client)?.unasked.some(({ id }) => id === letter.id);
  const list = $derived(
    waitingReferrals(referrals.current ?? [], clearances.current ?? [], dayKey).filter(waits),
  );
  return {
    get list() {
      return list;
    },
  };
}

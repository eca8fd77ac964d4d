/** The check-in of whoever has this phone in hand, live. */
import { fromStore } from "svelte/store";
import { ownWatch, watching } from "../../domain/lone-work";
import { ticking } from "../../parts/ticking";
import { store } from "../../store";

const EVERY_MS = 10_000;

export function watchNow() {
  const session = fromStore(store.session);
  const watches = fromStore(store.rows.live("watch"));
  const now = ticking(EVERY_MS);
  const me = $derived(session.current.staff?.id ?? "");
  const watch = $derived(ownWatch(watches.current ?? [], me, now()));

  return {
    get loaded() {
      return watches.current !== null;
    },
    get watch() {
      return watch;
    },
    get stands() {
      return watch === null ? "ended" : watching(watch, now());
    },
  };
}

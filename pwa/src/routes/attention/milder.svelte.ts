/** Where this person was shown the milder of two outcomes, live. For the list, and for its count. */
import { fromStore } from "svelte/store";
import type { BookJson } from "../../domain/screening";
import { ticking } from "../../parts/ticking";
import { store } from "../../store";
import { type Milder, shownMilder } from "./milder";

const MINUTE_MS = 60_000;

export function milderNow(): { readonly list: readonly Milder[] } {
  const screens = fromStore(store.rows.live("health_screen"));
  const checks = fromStore(store.rows.live("foot_check"));
  const session = fromStore(store.session);
  const rulebook = fromStore(store.rulebook);
  const now = ticking(MINUTE_MS);

  const list = $derived.by(() => {
    const who = session.current.staff?.id;
    const book = rulebook.current as unknown as BookJson | null;
    if (who === undefined || book === null) return [];
    const args = [who, now(), book.settings.screen_valid_hours] as const;
    return [
      ...shownMilder("health_screen", screens.current ?? [], ...args),
      ...shownMilder("foot_check", checks.current ?? [], ...args),
    ];
  });
  return {
    get list() {
      return list;
    },
  };
}

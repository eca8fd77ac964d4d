/** The kit as a live value for a screen: null until the phone's rows and the rulebook are read. */
import { fromStore } from "svelte/store";
import { type Kit, kitAt, type KitRows } from "../../domain/kit/kit";
import type { BookJson } from "../../domain/screening";
import { store } from "../../store";
import { ticking } from "../ticking";

export interface OpenKit {
  readonly book: BookJson | null;
  readonly kit: Kit | null;
}

const MINUTE_MS = 60_000;

export function openKit(): OpenKit {
  const { rows } = store;
  const book = fromStore(store.rulebook);
  const live = {
    kit_thing: fromStore(rows.live("kit_thing")),
    kit_load: fromStore(rows.live("kit_load")),
    kit_solution: fromStore(rows.live("kit_solution")),
    machine_check: fromStore(rows.live("machine_check")),
    checklist: fromStore(rows.live("checklist")),
    kit_use: fromStore(rows.live("kit_use")),
  };
  // A set goes out of date while a screen is open.
  const now = ticking(MINUTE_MS);
  const kit = $derived.by(() => {
    const held = book.current as unknown as BookJson | null;
    const read = Object.entries(live).map(([kind, { current }]) => [kind, current] as const);
    if (held === null || read.some(([, current]) => current === null)) return null;
    return kitAt(held, Object.fromEntries(read) as unknown as KitRows, now());
  });
  return {
    get book() {
      return book.current as unknown as BookJson | null;
    },
    get kit() {
      return kit;
    },
  };
}

/** The sets of each visit as a live value; the kit need not be judged for it. */
import { fromStore } from "svelte/store";
import type { HeldRow } from "../../domain/kit/kit";
import { type SetOfVisit, setsOfVisit } from "../../domain/kit/trace";
import { store } from "../../store";

export function visitSets(): { of: (visit: HeldRow<"visit">) => SetOfVisit[] | null } {
  const uses = fromStore(store.rows.live("kit_use"));
  const things = fromStore(store.rows.live("kit_thing"));
  const loads = fromStore(store.rows.live("kit_load"));
  return {
    of(visit) {
      const [kit_use, kit_thing, kit_load] = [uses.current, things.current, loads.current];
      if (kit_use === null || kit_thing === null || kit_load === null) return null;
      return setsOfVisit({ kit_use, kit_thing, kit_load }, visit);
    },
  };
}

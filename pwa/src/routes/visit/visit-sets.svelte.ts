/** The sets of each visit as a live value; the kit need not be judged for it. */
import { fromStore } from "svelte/store";
import type { HeldRow } from "../../domain/kit/kit";
import { type SetOfVisit, setsOfVisit } from "../../domain/kit/trace";
import { store } from "../../store";

export function visitSets(): { of: (visit: HeldRow<"visit">) => SetOfVisit[] | null } {
  const uses = fromStore(store.rows.live("kit_use"));
  const things = fromStore(store.rows.live("kit_thing"));
  const loads = fromStore(store.rows.live("kit_load"));
  const checks = fromStore(store.rows.live("machine_check"));
  return {
    of(visit) {
      const [kit_use, kit_thing] = [uses.current, things.current];
      const [kit_load, machine_check] = [loads.current, checks.current];
      if (!kit_use || !kit_thing || !kit_load || !machine_check) return null;
      return setsOfVisit({ kit_use, kit_thing, kit_load, machine_check }, visit);
    },
  };
}

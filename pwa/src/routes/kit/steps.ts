/** Tells what happened to sets, each after the last steps of it that this phone knows. */
import { endOf, type Told } from "../../domain/kit/next-step";
import type { Cycle, KitSet } from "../../domain/kit/kit";
import { store } from "../../store";

export async function tell(
  what: Told,
  sets: readonly KitSet[],
  cycles: readonly Cycle[],
  note = "",
): Promise<void> {
  const at = store.now().toISOString();
  for (const { id: set, standing } of sets)
    await store.issue("move_set", {
      ...{ step: store.newId(), set, what, after: [...standing.heads], at, note },
      end: what === "pack" ? endOf(standing.load, cycles) : null,
    });
}

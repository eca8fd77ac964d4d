/** Tells that a tool was cleaned and that its contact time begins, by one tap. */
import { askedOfProduct } from "../../domain/kit/asked";
import type { KitSet } from "../../domain/kit/kit";
import type { BookJson } from "../../domain/screening";
import { store } from "../../store";
import type { Id } from "../../wire/types";
import { blankCycle, type Into, startOf } from "../kit-cycle/form";

/** Returns the cycle. */
export async function wipe(set: KitSet, into: Into, book: BookJson): Promise<Id> {
  const [step, now] = [store.newId(), store.now()];
  await store.issue("move_set", {
    ...{ step, set: set.id, what: "wash", after: [...set.standing.heads] },
    ...{ at: now.toISOString(), end: null, note: "" },
  });
  const sets = [{ ...set, standing: { ...set.standing, heads: [step] } }];
  const asked = askedOfProduct(book, into.product.card);
  const chosen = { ...into, sets, machine: undefined, process: undefined, asked };
  const load = startOf(blankCycle(), chosen, now, () => store.newId());
  await store.issue("start_load", load);
  return load.load;
}

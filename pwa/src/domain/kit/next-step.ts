/** What may be told of a set next: the step that comes next on its way round, and what else may have happened. */
import type { Id } from "../../wire/types";
import type { Cycle } from "./kit";
import type { Standing, State, What } from "./standing";

/** A use is told in the visit, and a cycle on its own screen. */
export type Told = Exclude<What, "use" | "cycle">;
export type Next = Told | "start_cycle" | "open_cycle" | null;

export interface Ways {
  next: Next;
  others: readonly Told[];
}

const GONE: readonly Told[] = ["reject", "lose", "retire"];
const WAYS: Record<State, Ways> = {
  clean: { next: "take_out", others: ["soil", ...GONE] },
  out: { next: "put_back", others: ["soil", ...GONE] },
  in_use: { next: "soil", others: GONE },
  dirty: { next: "wash", others: GONE },
  washing: { next: "start_cycle", others: ["soil", "wash", ...GONE] },
  processing: { next: "open_cycle", others: ["soil", ...GONE] },
  drying: { next: "pack", others: ["soil", ...GONE] },
  rejected: { next: "bring_back", others: ["lose", "retire"] },
  lost: { next: "bring_back", others: ["retire"] },
  retired: { next: null, others: ["bring_back"] },
  unclear: { next: "wash", others: GONE },
};

/** The steps that are told of several sets at once. */
export const ROUND = ["take_out", "put_back", "soil", "wash", "pack"] as const satisfies Told[];

/** Of a set that somebody else has nothing is the obvious next step. */
export function waysOf({ state, staff }: Standing, me: Id): Ways {
  const ways = WAYS[state];
  if (state !== "out" || staff === me) return ways;
  return { next: null, others: ["put_back", ...ways.others] };
}

/** The end by which a set is packed: the last of its cycle that this phone knows. */
export function endOf(load: Id | null, cycles: readonly Cycle[]): Id | null {
  return cycles.find(({ id }) => id === load)?.row.ends.at(-1)?.id ?? null;
}

/** The rules that keep the work from starting: by each of them somebody else must see the client, or say yes. */
import { covered } from "../../domain/clearances";
import { holds } from "../../domain/findings";
import type { FiredRule } from "../../domain/screening";
import type { ClientFile } from "../client/file";

/** Without those that a clearance covers today. */
export function stopping(
  fired: readonly FiredRule[],
  cleared: ClientFile["cleared"],
): readonly FiredRule[] {
  const rules = covered(cleared.map(({ row }) => row));
  return fired.filter(
    ({ id, outcome }) => holds(outcome) && !(outcome === "needs_clearance" && rules.has(id)),
  );
}

/** The rules that keep the work from starting: by each of them somebody else must see the client, or say yes. */
import { OUTCOMES } from "../../domain/findings";
import type { FiredRule } from "../../domain/screening";
import type { ClientFile } from "../client/file";

const LEAST = OUTCOMES.indexOf("needs_clearance");

/** Without those that a clearance covers today. */
export function stopping(
  fired: readonly FiredRule[],
  cleared: ClientFile["cleared"],
): readonly FiredRule[] {
  const covered = new Set(cleared.flatMap(({ row }) => row.covers));
  return fired.filter(
    ({ id, outcome }) =>
      OUTCOMES.indexOf(outcome) >= LEAST && !(outcome === "needs_clearance" && covered.has(id)),
  );
}

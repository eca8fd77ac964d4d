/** What a set went through, for reading: the last steps first, by what each came after. A clock only splits ties. */
import type { Id } from "../../wire/types";
import type { Step, Steps } from "./standing";

export function newestFirst(steps: Steps): Step[] {
  const byId = new Map(steps.map((step) => [step.id, step]));
  const depths = new Map<Id, number>();
  const depthOf = (id: Id): number => {
    const step = byId.get(id);
    if (step === undefined) return 0;
    const known = depths.get(id);
    if (known !== undefined) return known;
    // So that steps that come after one another in a ring, as no honest phone tells them, end here.
    depths.set(id, 0);
    const depth = 1 + Math.max(0, ...step.after.map(depthOf));
    depths.set(id, depth);
    return depth;
  };
  return steps.toSorted(
    (one, other) =>
      depthOf(other.id) - depthOf(one.id) || Date.parse(other.at) - Date.parse(one.at),
  );
}

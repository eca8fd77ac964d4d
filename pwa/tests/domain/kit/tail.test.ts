/** The order in which a set's steps are read. Check: our own rule (decision 0180): no clock decides it. */
import { describe, expect, it } from "vitest";

import type { Step } from "../../../src/domain/kit/standing";
import { newestFirst } from "../../../src/domain/kit/tail";

function step(id: string, hour: number, ...after: string[]): Step {
  const at = `2026-11-25T${String(hour).padStart(2, "0")}:00:00Z`;
  return { id, what: "wash", at, staff: "s", after, load: null, end: null };
}
const read = (...steps: Step[]) => newestFirst(steps).map(({ id }) => id);

describe("what a set went through", () => {
  it("is read from its last step back, whatever the clocks said", () => {
    const steps = [step("wash", 12), step("cycle", 9, "wash"), step("pack", 10, "cycle")];
    expect(read(...steps)).toEqual(["pack", "cycle", "wash"]);
  });

  it("has the later of two accounts first, and stands a step that is not known before it", () => {
    expect(read(step("early", 8, "gone"), step("late", 9, "gone"))).toEqual(["late", "early"]);
  });

  it("ends where steps come after one another in a ring", () => {
    expect(read(step("a", 8, "b"), step("b", 9, "a"))).toHaveLength(2);
  });
});

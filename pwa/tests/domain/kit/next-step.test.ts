/** What may be told of a set next. Check: our own rules, by the states of decision 0180. */
import { describe, expect, it } from "vitest";

import type { Cycle } from "../../../src/domain/kit/kit";
import { endOf, waysOf } from "../../../src/domain/kit/next-step";
import type { Standing, State } from "../../../src/domain/kit/standing";

function stands(state: State, staff = "me"): Standing {
  return { state, staff, heads: [], reasons: [], until: null, load: null };
}

describe("the next step of a set", () => {
  it("goes once round, from the cupboard back to it", () => {
    const round: State[] = ["clean", "out", "in_use", "dirty", "washing", "processing", "drying"];
    expect(round.map((state) => waysOf(stands(state), "me").next)).toEqual([
      "take_out",
      "put_back",
      "soil",
      "wash",
      "start_cycle",
      "open_cycle",
      "pack",
    ]);
  });

  it("is no obvious one for a set in somebody else’s box, which may still come back", () => {
    const { next, others } = waysOf(stands("out", "other"), "me");
    expect(next).toBeNull();
    expect(others).toContain("put_back");
  });

  it("never makes a set clean that is unclear, unfit, lost or out of use", () => {
    for (const state of ["unclear", "rejected", "lost", "retired"] as const) {
      const { next, others } = waysOf(stands(state), "me");
      expect([next, ...others]).not.toContain("pack");
      expect([next, ...others]).not.toContain("put_back");
    }
  });
});

describe("the end by which a set is packed", () => {
  const cycles = [
    { id: "l", row: { ends: [{ id: "first" }, { id: "last" }] } },
    { id: "open", row: { ends: [] } },
  ] as unknown as Cycle[];

  it("is the last of its cycle that this phone knows", () => {
    expect(endOf("l", cycles)).toBe("last");
    expect(endOf("open", cycles)).toBeNull();
    expect(endOf("unknown", cycles)).toBeNull();
    expect(endOf(null, cycles)).toBeNull();
  });
});

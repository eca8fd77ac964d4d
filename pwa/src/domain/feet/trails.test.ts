/** Findings from one check to the next. Check: our own rule; the ids and measures are invented. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import type { Finding } from "../findings";
import { changesOf } from "./change";
import { followed } from "./follow";
import { lastOf, measuresOf, toLookFor, trailsOf, type Look } from "./trails";

const plain = {
  foot: "left",
  view: "sole",
  region: "heel_centre",
  what: "crack",
  length_mm: null,
  depth_mm: null,
  state: null,
  bleeding: null,
  oozing: null,
  note: "",
} satisfies Omit<Finding, "id">;
const seen = (id: string, more: Partial<Finding> = {}): Finding => ({ ...plain, id, ...more });
const day = (n: number) => `2026-03-${String(n).padStart(2, "0")}T09:00:00Z`;

const findings = (name: string) =>
  fc
    .array(
      fc.record({
        foot: fc.constantFrom("left" as const, "right" as const),
        region: fc.constantFrom("heel_centre", "arch"),
        what: fc.constantFrom("crack", "callus"),
        follows: fc.constantFrom(null, "b0", "b1", "b2", "unknown"),
      }),
      { maxLength: 5 },
    )
    .map((some) => some.map((one, n) => seen(`${name}${String(n)}`, one)));

describe("what goes on from what", () => {
  it("is named first, and guessed by place and kind only where nothing is named", () => {
    const earlier = [seen("old_a"), seen("old_b")];
    const now = [seen("new_a"), seen("new_b", { follows: "old_a", region: "arch" })];
    const found = followed(earlier, now);
    expect(found.get("new_b")?.id).toBe("old_a");
    expect(found.get("new_a")?.id).toBe("old_b");
  });

  it("is nothing for a name that is not known, and for another kind or place", () => {
    const earlier = [seen("old")];
    expect(followed(earlier, [seen("new", { follows: "lost" })]).size).toBe(0);
    expect(followed(earlier, [seen("new", { what: "callus" })]).size).toBe(0);
    expect(followed(earlier, [seen("new", { foot: "right" })]).size).toBe(0);
  });

  it("gives each earlier finding to one at most, and to the one that names it", () => {
    fc.assert(
      fc.property(findings("b"), findings("n"), (earlier, now) => {
        const found = followed(earlier, now);
        const taken = [...found.values()].map(({ id }) => id);
        expect(new Set(taken).size).toBe(taken.length);
        for (const one of now) {
          const before = found.get(one.id);
          if (before && !one.follows) {
            expect([before.foot, before.region, before.what]).toEqual([
              one.foot,
              one.region,
              one.what,
            ]);
          } else if (before) expect(before.id).toBe(one.follows);
        }
      }),
    );
  });
});

describe("a finding through the checks", () => {
  it("goes on until a check says that it is gone, and begins anew after that", () => {
    const looks: Look[] = [
      { checked_at: day(9), findings: [seen("c")], gone: [] },
      { checked_at: day(1), findings: [seen("a")] },
      { checked_at: day(5), findings: [], gone: ["a"] },
    ];
    const trails = trailsOf(looks);
    expect(trails.map(({ gone_at }) => gone_at)).toEqual([day(5), null]);
    expect(toLookFor(trails, [], []).map((trail) => lastOf(trail).finding.id)).toEqual(["c"]);
  });

  it("is still to be looked for where a check passed it over", () => {
    const trails = trailsOf([
      { checked_at: day(1), findings: [seen("a")] },
      { checked_at: day(5), findings: [] },
    ]);
    expect(toLookFor(trails, [], [])).toHaveLength(1);
    expect(toLookFor(trails, [seen("b", { follows: "a" })], [])).toEqual([]);
    expect(toLookFor(trails, [], ["a"])).toEqual([]);
  });

  it("loses no finding and tells none twice, in whatever order the checks come", () => {
    fc.assert(
      fc.property(findings("a"), findings("b"), findings("c"), (a, b, c) => {
        const looks = [a, b, c].map((one, n) => ({ checked_at: day(n + 1), findings: one }));
        const trails = trailsOf(looks);
        const told = trails.flatMap((trail) => trail.sightings.map(({ finding }) => finding.id));
        expect(told.toSorted()).toEqual([...a, ...b, ...c].map(({ id }) => id).toSorted());
        expect(trailsOf(looks.toReversed())).toEqual(trails);
      }),
    );
  });
});

describe("the measures of a crack", () => {
  const [trail] = trailsOf([
    { checked_at: day(1), findings: [seen("a", { length_mm: 10, depth_mm: 1 })] },
    { checked_at: day(20), findings: [seen("b", { length_mm: 8, depth_mm: 3, follows: "a" })] },
  ]);
  if (!trail) throw new Error("no trail");
  const crack = {
    finding: "a",
    foot: "left",
    region: "heel_centre",
    length_mm: 10,
    depth_mm: 1,
  } as const;
  const works = [
    { at: day(2), cracks: [{ ...crack, length_after_mm: 6, depth_after_mm: null }] },
    { at: day(3), cracks: [{ ...crack, finding: "other", length_after_mm: 1, depth_after_mm: 1 }] },
  ];

  it("come from the looks and from its own work, in order", () => {
    expect(measuresOf(trail, works).map((one) => [one.at, one.length_mm, one.worked])).toEqual([
      [day(1), 10, false],
      [day(2), 6, true],
      [day(20), 8, false],
    ]);
  });

  it("are told as a change from look to look", () => {
    expect(changesOf(measuresOf(trail, works))).toEqual([
      { of: "length", by: -2, since: day(1) },
      { of: "depth", by: 2, since: day(1) },
    ]);
  });

  it("change for the worse exactly where the later one is larger", () => {
    const tenths = fc.integer({ min: 0, max: 500 }).map((n) => n / 10);
    fc.assert(
      fc.property(tenths, tenths, (was, is) => {
        const at = { length_mm: null, worked: false };
        const found = changesOf([
          { ...at, at: day(1), depth_mm: was },
          { ...at, at: day(2), depth_mm: is },
        ]);
        expect(found.map(({ by }) => Math.sign(by))).toEqual(
          is === was ? [] : [Math.sign(is - was)],
        );
      }),
    );
  });
});

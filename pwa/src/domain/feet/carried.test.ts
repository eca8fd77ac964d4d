/** What a check takes over where nobody looked. Check: our own rule; ids and measures are invented. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";

import type { Finding } from "../findings";
import { kept, lastLooked } from "./carried";
import { lastOf, measuresOf, toLookFor, trailsOf, type Look } from "./trails";

const crack: Finding = {
  id: "crack",
  foot: "left",
  view: "sole",
  region: "toe_1",
  what: "crack",
  length_mm: 12,
  depth_mm: null,
  state: "closed",
  bleeding: false,
  oozing: false,
  note: "by the nail",
};
const day = (n: number) => `2026-03-${String(n).padStart(2, "0")}T09:00:00Z`;
const SEEN = { left_foot_seen: "seen", right_foot_seen: "seen" };
const toe = { ...crack, id: "toe", view: "top", what: "toe_gone" } as const;
let made = 0;
const newId = () => `new${String((made += 1))}`;

function silent(looks: readonly Look[], answers = SEEN, findings: readonly Finding[] = []) {
  return kept(trailsOf(looks), { findings }, answers, newId);
}

describe("what nobody looked for", () => {
  const looks = [{ checked_at: day(1), findings: [crack] }];

  it("goes on as it was", () => {
    const { findings, gone, carried } = silent(looks);
    const again = { ...crack, id: findings[0]?.id, follows: "crack", looked: false };
    expect([findings, gone]).toEqual([[again], []]);
    expect(carried).toEqual([{ at: day(1), finding: crack }]);
  });

  it("goes on also where the foot is not shown today, and is gone with the foot", () => {
    expect(silent(looks, { ...SEEN, left_foot_seen: "not_shown" }).findings).toHaveLength(1);
    const lost = silent(looks, { ...SEEN, left_foot_seen: "no_foot" });
    expect(lost).toEqual({ findings: [], gone: ["crack"], carried: [] });
  });

  it("is gone with a toe that was lost since, and stays at the place of one lost before", () => {
    expect(silent(looks, SEEN, [toe])).toEqual({ findings: [toe], gone: ["crack"], carried: [] });
    const stump = [{ checked_at: day(1), findings: [toe, crack] }];
    const still = { ...toe, id: "still", follows: "toe" };
    for (const marked of [[], [still]]) {
      const { findings, gone } = silent(stump, SEEN, marked);
      expect(findings.map(({ what }) => what).sort()).toEqual(["crack", "toe_gone"]);
      expect(gone).toEqual([]);
    }
  });

  it("is no measure of that day, and tells the day on which somebody looked", () => {
    const { findings } = silent(looks);
    const later = [...looks, { checked_at: day(9), findings }];
    const [trail] = trailsOf(later);
    expect(trail && lastOf(trail).at).toBe(day(1));
    expect(trail && measuresOf(trail, []).map(({ at }) => at)).toEqual([day(1)]);
    const again = silent(later).findings[0];
    expect(again && lastLooked(later, again)).toBe(day(1));
    expect(again && lastLooked([], again)).toBeNull();
    const round = { ...crack, looked: false, follows: "crack" };
    expect(lastLooked([{ checked_at: day(1), findings: [round] }], round)).toBeNull();
  });
});

it("settles every earlier finding, once, and leaves it to the next check", () => {
  const finding = fc.record({
    foot: fc.constantFrom("left" as const, "right" as const),
    region: fc.constantFrom("toe_1", "arch"),
    what: fc.constantFrom("crack", "ulcer", "toe_gone"),
    follows: fc.constantFrom(null, "a0", "a1"),
  });
  const some = (name: string) =>
    fc
      .array(finding, { maxLength: 4 })
      .map((all) => all.map((one, n) => ({ ...crack, ...one, id: `${name}${String(n)}` })));
  const answers = fc.record({
    left_foot_seen: fc.constantFrom("seen", "not_shown", "no_leg"),
    right_foot_seen: fc.constant("seen"),
  });
  fc.assert(
    fc.property(some("a"), some("b"), answers, (before, now, seen) => {
      const looks = [{ checked_at: day(1), findings: before }];
      const { findings, gone } = silent(looks, seen, now);
      expect(toLookFor(trailsOf(looks), findings, gone)).toEqual([]);
      expect(findings.slice(0, now.length)).toEqual(now);
      const open = trailsOf([...looks, { checked_at: day(9), findings, gone }]);
      const offered = toLookFor(open, [], []).map((trail) => lastOf(trail).finding.id);
      expect(offered.sort()).toEqual(findings.map(({ id }) => id).sort());
    }),
  );
});

/** Check: our own rule. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  kept,
  laidOut,
  moved,
  type RoundStop,
  shared,
  tooEarly,
  walkingOrder,
} from "../../src/domain/rounds";

function stop(client: string, more: Partial<RoundStop> = {}): RoundStop {
  return { client, name: client, room: "", corridor: "", see_last: false, minutes: 30, ...more };
}

const LUNCH = { name: "Lunch", starts: 720, ends: 780 };
const REST = { name: "Rest", starts: 780, ends: 840 };

const stops = fc.uniqueArray(
  fc.record({
    client: fc.stringMatching(/^[a-z]{1,4}$/),
    name: fc.string(),
    room: fc.string(),
    corridor: fc.constantFrom("North", "South", ""),
    see_last: fc.boolean(),
    minutes: fc.integer({ min: 5, max: 90 }),
  }),
  { selector: ({ client }) => client, maxLength: 12 },
);
const quiets = fc.array(
  fc
    .tuple(fc.integer({ min: 0, max: 1300 }), fc.integer({ min: 1, max: 130 }))
    .map(([at, span]) => ({
      name: "Quiet",
      starts: at,
      ends: at + span,
    })),
  { maxLength: 4 },
);

describe("the order of a round", () => {
  it("is that of the walk: corridors, rooms by number, and who is seen last at the end", () => {
    const there = [
      stop("a", { corridor: "South", room: "2" }),
      stop("b", { corridor: "north", room: "10" }),
      stop("c", { corridor: "North", room: "9b" }),
      stop("d", { corridor: "North", room: "1", see_last: true }),
      stop("e", { corridor: "Annexe", room: "1" }),
    ];
    const walk = walkingOrder(there, ["North", "South"]).map(({ client }) => client);
    expect(walk).toEqual(["c", "b", "a", "e", "d"]);
  });

  it("stays as a person made it, with whoever comes since in their place", () => {
    expect(kept(["c", "a"], ["a", "b", "c", "d"])).toEqual(["c", "d", "a", "b"]);
    expect(kept(["b", "gone"], ["a", "b"])).toEqual(["a", "b"]);
  });

  it("moves one among those of the same technician, and no further", () => {
    const whose = new Map([
      ["a", "x"],
      ["b", "y"],
      ["c", "x"],
    ]);
    expect(moved(["a", "b", "c"], whose, "c", -1)).toEqual(["c", "b", "a"]);
    expect(moved(["a", "b", "c"], whose, "b", 1)).toEqual(["a", "b", "c"]);
  });

  it("says who is seen last and stands too early", () => {
    const early = stop("a", { see_last: true });
    const late = stop("c", { see_last: true });
    expect(tooEarly([early, stop("b"), late])).toEqual([early]);
    expect(tooEarly([early, late])).toEqual([]);
  });
});

describe("a round of several technicians", () => {
  it("is parted into stretches, and who is seen last goes to who is through first", () => {
    const there = ["a", "b", "c", "d", "e"].map((id) => stop(id));
    const whose = shared([...there, stop("z", { see_last: true })], ["x", "y"], {});
    expect([...whose]).toEqual([
      ...["a", "b"].map((id) => [id, "x"]),
      ...["c", "d", "e"].map((id) => [id, "y"]),
      ["z", "x"],
    ]);
  });

  it("keeps to what was said, and gives each to somebody of the round", () => {
    fc.assert(
      fc.property(stops, fc.subarray(["x", "y", "z"], { minLength: 1 }), (there, technicians) => {
        const said = Object.fromEntries(there.slice(0, 2).map(({ client }) => [client, "y"]));
        const whose = shared(there, technicians, said);
        expect([...whose.keys()].toSorted()).toEqual(there.map((s) => s.client).toSorted());
        expect([...whose.values()].every((who) => technicians.includes(who))).toBe(true);
        if (technicians.includes("y")) {
          for (const { client } of there.slice(0, 2)) expect(whose.get(client)).toBe("y");
        }
      }),
    );
  });
});

describe("the times of a round", () => {
  it("leave meals and rest free, and say what they waited for", () => {
    const there = ["a", "b", "c"].map((id) => stop(id));
    expect(laidOut(there, 660, [REST, LUNCH])).toEqual([
      { client: "a", starts: 660, minutes: 30, after: null },
      { client: "b", starts: 690, minutes: 30, after: null },
      { client: "c", starts: 840, minutes: 30, after: "Rest" },
    ]);
  });

  it("never overlap each other or a quiet time", () => {
    fc.assert(
      fc.property(stops, quiets, fc.integer({ min: 0, max: 900 }), (there, quiet, starts) => {
        let free = starts;
        for (const one of laidOut(there, starts, quiet)) {
          expect(one.starts).toBeGreaterThanOrEqual(free);
          free = one.starts + one.minutes;
          for (const rest of quiet) {
            expect(one.starts >= rest.ends || free <= rest.starts).toBe(true);
          }
        }
      }),
    );
  });
});

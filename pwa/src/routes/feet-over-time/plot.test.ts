/** The chart of a crack: what is drawn can be read off again. Check: arithmetic, and our own rule. */
import fc from "fast-check";
import { expect, it } from "vitest";

import { BOX, plot } from "./plot";

const measures = fc.array(
  fc.record({
    at: fc.integer({ min: 0, max: 400 }).map((n) => new Date(n * 86_400_000).toISOString()),
    length_mm: fc.option(fc.double({ min: 0, max: 200, noNaN: true })),
    depth_mm: fc.constant(null),
    worked: fc.boolean(),
  }),
  { minLength: 1 },
);

it("draws each measure once, inside its box, and higher only for more", () => {
  fc.assert(
    fc.property(measures, (some) => {
      const { dots, top_mm } = plot(some, "length");
      expect(dots).toHaveLength(some.filter(({ length_mm }) => length_mm !== null).length);
      for (const { x, y, mm } of dots) {
        expect(x >= BOX.left && x <= BOX.width - BOX.right).toBe(true);
        expect(y >= BOX.top - 1e-9 && y <= BOX.height - BOX.bottom + 1e-9).toBe(true);
        const read = ((BOX.height - BOX.bottom - y) / (BOX.height - BOX.top - BOX.bottom)) * top_mm;
        expect(read).toBeCloseTo(mm, 6);
      }
      for (const one of dots)
        for (const other of dots)
          if (Date.parse(one.at) < Date.parse(other.at)) expect(one.x).toBeLessThan(other.x);
    }),
  );
});

it("draws what was measured once in the middle, and nothing where nothing was", () => {
  const [dot] = plot(
    [{ at: "2026-03-01T09:00:00Z", length_mm: 5, depth_mm: null, worked: false }],
    "length",
  ).dots;
  expect(dot?.x).toBe(BOX.left + (BOX.width - BOX.left - BOX.right) / 2);
  expect(plot([], "depth")).toEqual({ dots: [], top_mm: 1 });
});

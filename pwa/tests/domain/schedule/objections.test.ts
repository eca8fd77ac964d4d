/** The vectors that the server runs as well. Check: our own rule, no source. */
import { expect, test } from "vitest";

import { type Around, objections, squeezes } from "../../../src/domain/schedule/objections";
import vectors from "../../../../tests/parity/objections.json" with { type: "json" };

test.each(vectors)("$name", ({ asked, week, off, others, free, latest, codes, ...more }) => {
  const [day, starts, minutes] = asked as [string, string, number];
  const visits = (others as [string, number, number | null][]).map(([at, length, drive]) => ({
    ...{ starts: at, minutes: length, drive },
  }));
  const around: Around = { week, off: off as [string, string][], others: visits, free, latest };
  expect(objections({ day, starts, minutes }, around)).toEqual(codes);
  const found = squeezes({ day, starts, minutes }, visits);
  expect(found.map((each) => [each.before, each.drive, each.between])).toEqual(more.squeezes);
});

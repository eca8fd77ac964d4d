/** What the pad gives, against what the server takes: its own description of itself, and its limit of a body. */
import { expect, it } from "vitest";

import { components } from "../../src/wire/openapi.json";
import { strokesOf } from "../../src/parts/strokes";

const { maxItems, items } = components.schemas.SignDone.properties.strokes;
/** Bytes: MOST_TO_ANSWER in settings/body_size.py; the words and the secrets take some of them. */
const MOST_TO_ANSWER = 1024 * 1024;
const OTHERS = 64 * 1024;

function drawn(points: number) {
  const time = Date.parse("2026-11-26T09:00:00Z");
  const point = (n: number) => ({ x: -1234.4, y: 1234.6, time: time + n });
  return { points: Array.from({ length: points }, (_, n) => point(n)) };
}

it("gives each point, in whole pixels", () => {
  const given = strokesOf([{ points: [{ x: 1.4, y: 2.6, time: 3 }] }, drawn(2)]);
  expect(given[0]).toEqual([{ x: 1, y: 3, t: 3 }]);
  expect(given[1]).toHaveLength(2);
});

it("gives no more than the server takes", () => {
  expect(strokesOf(Array.from({ length: 400 }, () => drawn(1)))).toHaveLength(maxItems);
  expect(strokesOf([drawn(6000)])[0]).toHaveLength(items.maxItems);
  const most = strokesOf(Array.from({ length: 400 }, () => drawn(6000)));
  expect(most.flat().length).toBeGreaterThan(10_000);
  expect(JSON.stringify(most).length).toBeLessThan(MOST_TO_ANSWER - OTHERS);
});

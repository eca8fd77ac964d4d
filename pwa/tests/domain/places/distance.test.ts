/** The vectors that the server runs as well; their sources stand in the file. */
import { expect, test } from "vitest";

import { drive } from "../../../src/domain/places/estimate";
import { greatCircle } from "../../../src/domain/places/great-circle";
import { travelOf } from "../../../src/domain/screening/book";
import type { BookJson, Travel } from "../../../src/domain/screening/book";
import base from "../../../../tests/parity/books/base.json" with { type: "json" };
import vectors from "../../../../tests/parity/distances.json" with { type: "json" };

test.each(vectors.great_circle)("%s", (...line) => {
  const [lat, lon, lat2, lon2, metres] = line.slice(1).map(Number);
  const [from, to] = [point(lat, lon), point(lat2, lon2)];
  expect(greatCircle(from, to)).toBe(metres);
  expect(greatCircle(to, from)).toBe(metres);
});

test.each(vectors.drives)("%i m of straight line", (straight = NaN, metres, seconds) => {
  expect(drive(straight, vectors.travel as Travel)).toEqual({ metres, seconds });
});

test("what a drive is guessed by is in the book, and a book of before has none", () => {
  const book = base as unknown as BookJson;
  expect(travelOf(book)?.road_percent).toBe(140);
  const before: BookJson = { ...book };
  delete before.road_factors;
  expect(travelOf(before)).toBeNull();
});

function point(lat = NaN, lon = NaN) {
  return { lat, lon };
}

/** Plus codes as the open reference code reads them (tests/places/test_plus_codes.py), and what else may be typed. */
import { expect, test } from "vitest";

import { isShortCode, readPlusCode } from "../../../src/domain/places/plus-code";
import { fromDevice, geoLink, samePosition } from "../../../src/domain/places/position";
import { readTyped } from "../../../src/domain/places/typed";
import vectors from "../../../../tests/parity/plus_codes.json" with { type: "json" };

test.each(vectors.whole)("%s", (code, lat, lon) => {
  const cell = readPlusCode(String(code));
  expect(cell?.lat).toBeCloseTo(Number(lat), 9);
  expect(cell?.lon).toBeCloseTo(Number(lon), 9);
});

test("what is no whole code, and what is a short one", () => {
  expect(vectors.no_whole.filter((code) => readPlusCode(code) !== null)).toEqual([]);
  expect(vectors.short.filter((code) => !isShortCode(code))).toEqual([]);
  expect(vectors.no_short.filter(isShortCode)).toEqual([]);
});

test.each([
  ["", "empty"],
  ["  ", "empty"],
  ["9G8F+6X", "short_code"],
  ["9G8F+6X Zurich", "short_code"],
  ["8FVC9G8F+6", "bad_code"],
  ["91, 8.5", "off_the_map"],
  ["47.3, 181", "off_the_map"],
  ["47.3", "other"],
  ["SW1A 1AA", "other"],
  ["47.3, 8.5, 9", "other"],
])("%j is %s", (text, fault) => {
  expect(readTyped(text)).toEqual({ fault });
});

test.each(["47.3656,8.5249", "47.3656; 8.5249", " 47.3656  8.5249 ", "+47.3656, +8.5249"])(
  "%j is two numbers",
  (text) => {
    const position = { lat: 47.3656, lon: 8.5249, source: "typed", accuracy_m: null };
    expect(readTyped(text)).toEqual({ position });
  },
);

test("a plus code says how big its cell is", () => {
  // By the reference code the middle is 47.3655625, 8.5249375; the cell of 1/8000 degree is 14 by 9.4 m here.
  const position = { lat: 47.365562, lon: 8.524937, source: "plus_code", accuracy_m: 9 };
  const read = readTyped("8fvc9g8f+6x");
  expect(read).toMatchObject({ position: { source: "plus_code", accuracy_m: 9 } });
  if ("fault" in read) throw new Error(read.fault);
  expect(read.position.lat).toBeCloseTo(position.lat, 5);
  expect(read.position.lon).toBeCloseTo(position.lon, 5);
});

test("a device is taken for no more exact than it says", () => {
  const told = fromDevice({ latitude: 51.50741249, longitude: -0.12781151, accuracy: 7.2 });
  expect(told).toEqual({ lat: 51.507412, lon: -0.127812, source: "device", accuracy_m: 8 });
  // RFC 5870, section 6.1: geo:lat,lon;u=metres.
  expect(geoLink(told)).toBe("geo:51.507412,-0.127812;u=8");
  expect(geoLink({ ...told, accuracy_m: null })).toBe("geo:51.507412,-0.127812");
  expect(samePosition(told, { ...told })).toBe(true);
  expect(samePosition(told, null)).toBe(false);
  expect(samePosition(undefined, null)).toBe(true);
});

/** The same vectors as tests/parity/test_miles.py; each names its source. The rates are those of the books. */
import { expect, it } from "vitest";

import rates from "../../../../tests/parity/mileage_rates.json" with { type: "json" };
import vectors from "../../../../tests/parity/miles.json" with { type: "json" };
import { type Case, claimed, type Rates } from "./claimed";

interface Stated extends Case {
  name: string;
  years: Record<string, Record<string, unknown>>;
  legs?: string[][];
}
const cases = vectors.claims as unknown as Stated[];

it.each(cases)("$name", (stated) => {
  const found = claimed(rates as unknown as Rates, stated);
  expect(Object.keys(found.years)).toEqual(Object.keys(stated.years));
  for (const [start, expected] of Object.entries(stated.years)) {
    const year = found.years[start];
    const lines = year?.lines.map(([rate, band, , ...rest]) => [rate, band, ...rest]);
    expect({ ...year, lines }).toMatchObject(expected);
  }
  if (stated.legs !== undefined) expect(found.legs).toEqual(stated.legs);
});

interface Driven extends Case {
  name: string;
  vehicles: Record<string, Record<string, Record<string, number | null>>>;
}

it.each(vectors.vehicles as unknown as Driven[])("$name", (stated) => {
  const { vehicles } = claimed(rates as unknown as Rates, stated);
  expect(vehicles).toMatchObject(stated.vehicles);
});

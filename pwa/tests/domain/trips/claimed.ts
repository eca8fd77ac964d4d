/** A case of miles as the phone reckons it, in the form of tests/parity/mileage_cases.py. */
import { moneyText } from "../../../src/domain/money";
import type { MileageRate, Tax } from "../../../src/domain/screening/book";
import { claim, type Year } from "../../../src/domain/trips/claim";
import type { Known, Purpose, Travel } from "../../../src/domain/trips/travel";
import { byVehicle } from "../../../src/domain/trips/vehicles";

type Differs = Partial<Omit<Travel, "legs">> & {
  purpose?: Purpose;
  known?: Known;
  odometer?: readonly (number | null)[];
};
export interface Case {
  place: string;
  travel: [string, number | null, Differs?][];
}
export type Rates = Record<string, { tax: Tax; mileage_rates: MileageRate[] }>;

export function claimed(rates: Rates, { place, travel }: Case) {
  const book = rates[place];
  if (book === undefined) throw new Error(`no book of ${place}`);
  const told = travel.map((row, n) => travelOf(row, n, book.tax));
  const found = claim(told, book.mileage_rates, book.tax);
  const years = [...found.years.values()].sort((a, b) => (a.start < b.start ? -1 : 1));
  return {
    years: Object.fromEntries(years.map((year) => [year.start, asTold(year)])),
    legs: told.map(({ id }) =>
      (found.shares.get(id)?.[0] ?? []).map(({ amount }) => moneyText(amount)),
    ),
    vehicles: inOrder(byVehicle(told, book.tax), inOrder),
  };
}

function inOrder<A, B>(
  found: ReadonlyMap<string, A>,
  as: (a: A) => B | A = (a) => a,
): Record<string, A | B> {
  return Object.fromEntries(
    [...found].sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, a]) => [key, as(a)]),
  );
}

function travelOf([day, tenths, differs = {}]: Case["travel"][number], n: number, tax: Tax) {
  const { purpose = "client", known = "typed", odometer = [], ...rest } = differs;
  const [odometer_start = null, odometer_end = null] = odometer;
  const read = { odometer_start, odometer_end };
  const usual = { staff: "ann", vehicle: "A", kind: "car", unit: tax.unit, replaces: [] } as const;
  return {
    ...usual,
    ...read,
    ...rest,
    id: `t${String(n)}`,
    day,
    legs: [{ purpose, tenths, known }],
  };
}

function asTold(year: Year) {
  const lines = year.lines.map(({ rate, band, who, tenths, amount }) => [
    rate,
    band,
    who,
    tenths,
    moneyText(amount),
  ]);
  return {
    lines: lines.sort((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1)),
    amount: moneyText(year.amount),
    unconfirmed: year.unconfirmed,
    open_legs: year.openLegs,
    twice: year.twice,
    without_rate: year.withoutRate,
    commute: year.commute,
    private: year.private,
    tenths: year.tenths,
  };
}

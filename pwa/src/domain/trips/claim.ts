/**
 * What travel for work comes to by the official rates, tax year by tax year. Whether a person may claim it is not
 * answered here: that is for their tax office. The twin is trips/rules/claim.py; both run tests/parity/miles.json.
 * Amounts are in cents or pence.
 */
import type { MileageRate, Tax } from "../screening/book";
import { inUnit, isDriven, type Leg, standing, type Travel, twice } from "./travel";

/** What part of a leg fell into which band, counted from 0. */
export interface Share {
  rate: string;
  band: number;
  tenths: number;
  amount: number;
}

/** Of one rate one band, of the person or the vehicle (`who`) whose distance is counted together. */
export interface Line extends Share {
  who: string;
}

/**
 * A tax year, in tenths of the tax office's unit. `unconfirmed` is for work, and an estimate or not told, in
 * `openLegs` legs; `twice` stands twice; for `withoutRate` the book has no rate.
 */
export interface Year {
  start: string;
  lines: Line[];
  tenths: number;
  amount: number;
  unconfirmed: number;
  openLegs: number;
  twice: number;
  withoutRate: number;
  commute: number;
  private: number;
}

export interface Claim {
  years: Map<string, Year>;
  /** Those of each leg, in its place, by the id of its travel. The amounts of all add up to those of the lines. */
  shares: Map<string, Share[][]>;
}

/** The first day of the tax year in which a day lies. */
export function yearOf(day: string, tax: Tax): string {
  const year = Number(day.slice(0, 4));
  const began = day.slice(5) >= tax.year_starts;
  return `${String(began ? year : year - 1).padStart(4, "0")}-${tax.year_starts}`;
}

export function claim(told: readonly Travel[], rates: readonly MileageRate[], tax: Tax): Claim {
  const stand = standing(told);
  const doubled = twice(stand);
  const found: Claim = { years: new Map(), shares: new Map() };
  const reached = new Map<string, number>();
  for (const travel of stand) {
    const year = yearIn(found, yearOf(travel.day, tax));
    const rate = rateOf(travel, rates);
    const shares = travel.legs.map((leg): Share[] => {
      const tenths = inUnit(leg.tenths ?? 0, travel.unit, tax.unit);
      if (doubled.has(travel.id)) year.twice += tenths;
      else if (notClaimed(year, leg, tenths)) return [];
      else if (rate === null) year.withoutRate += tenths;
      else {
        const who = rate.counted_by === "person" ? travel.staff : travel.vehicle;
        const together = [year.start, who, ...rate.vehicles].join(" ");
        const before = reached.get(together) ?? 0;
        reached.set(together, before + tenths);
        return parts(rate, before, tenths).map(([band, part]) =>
          entered(year, rate, band, who, part),
        );
      }
      return [];
    });
    found.shares.set(travel.id, shares);
  }
  return found;
}

function yearIn(found: Claim, start: string): Year {
  const known = found.years.get(start);
  if (known !== undefined) return known;
  const none = { unconfirmed: 0, openLegs: 0, twice: 0, withoutRate: 0, commute: 0, private: 0 };
  const year = { start, lines: [], tenths: 0, amount: 0, ...none };
  found.years.set(start, year);
  return year;
}

function rateOf({ kind, day }: Travel, rates: readonly MileageRate[]): MileageRate | null {
  const counts = ({ vehicles, from, until }: MileageRate) =>
    vehicles.includes(kind) && from <= day && (until === null || day <= until);
  return rates.find(counts) ?? null;
}

function notClaimed(year: Year, leg: Leg, tenths: number): boolean {
  if (leg.purpose === "private" || leg.purpose === "commute") year[leg.purpose] += tenths;
  else if (isDriven(leg)) return false;
  else {
    year.unconfirmed += tenths;
    year.openLegs += 1;
  }
  return true;
}

/** How much of the next `tenths` falls into which band, where `reached` were driven before. */
function parts(rate: MileageRate, reached: number, tenths: number): [number, number][] {
  let [at, left] = [reached, tenths];
  const found: [number, number][] = [];
  for (const [band, { up_to }] of rate.bands.entries()) {
    const room = up_to === null ? left : Math.min(left, Math.max(0, up_to * 10 - at));
    if (room > 0) found.push([band, room]);
    at += room;
    left -= room;
  }
  return found;
}

function entered(year: Year, rate: MileageRate, band: number, who: string, tenths: number): Share {
  const of = (line: Line) => line.rate === rate.id && line.band === band && line.who === who;
  let line = year.lines.find(of);
  if (line === undefined) {
    line = { rate: rate.id, band, who, tenths: 0, amount: 0 };
    year.lines.push(line);
  }
  line.tenths += tenths;
  const now = amountOf(line.tenths, rate.bands[band]?.rate ?? "0.00");
  const amount = now - line.amount;
  line.amount = now;
  year.tenths += tenths;
  year.amount += amount;
  return { rate: rate.id, band, tenths, amount };
}

/** A half up, in whole numbers: a rate has four decimals at most. */
function amountOf(tenths: number, rate: string): number {
  const [whole = "0", part = ""] = rate.split(".");
  const tenThousandths = Number(whole) * 10_000 + Number(part.padEnd(4, "0"));
  return Math.floor((2 * tenths * tenThousandths + 1000) / 2000);
}

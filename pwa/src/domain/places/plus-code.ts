/**
 * Reads an Open Location Code ("plus code"), by its specification: pairs of digits of base 20, each a twentieth of the
 * one before, then cells of 4 by 5. Only whole codes: a short one needs a place near it that it does not name.
 */
import { type Point } from "./position";

const DIGITS = "23456789CFGHJMPQRVWX";
const BEFORE_PLUS = 8;
const PAIR_DIGITS = 10;
const MOST_DIGITS = 15;
// In units of the smallest cell: 1 / (8000 * 5^5) and 1 / (8000 * 4^5) of a degree.
const LAT_UNITS = 8000 * 5 ** 5;
const LON_UNITS = 8000 * 4 ** 5;

export interface Cell extends Point {
  /** From the middle of the cell to its corner, in degrees. */
  half_lat: number;
  half_lon: number;
}

export function isShortCode(text: string): boolean {
  const [head, tail, ...rest] = shape(text);
  if (head === undefined || tail === undefined || rest.length > 0) return false;
  const even = head.length % 2 === 0 && head.length >= 2 && head.length < BEFORE_PLUS;
  return even && tail.length !== 1 && onlyDigits(head + tail);
}

/** Null where it is no whole code. */
export function readPlusCode(text: string): Cell | null {
  const [head, tail, ...rest] = shape(text);
  if (head?.length !== BEFORE_PLUS || tail === undefined || rest.length > 0) return null;
  const padded = /^((?:[^0]{2}){1,3})0+$/.exec(head);
  const digits = padded?.[1] ?? head + tail;
  if (padded ? tail !== "" : tail.length === 1) return null;
  return onlyDigits(digits) ? decoded(digits.slice(0, MOST_DIGITS)) : null;
}

function shape(text: string): string[] {
  return text.trim().toUpperCase().split("+");
}

function onlyDigits(text: string): boolean {
  return /^[23456789CFGHJMPQRVWX]+$/.test(text);
}

function decoded(code: string): Cell | null {
  let [lat, lon] = [0, 0];
  let [latPlace, lonPlace] = [LAT_UNITS * 400, LON_UNITS * 400];
  const pairs = code.slice(0, PAIR_DIGITS);
  for (let at = 0; at < pairs.length; at += 2) {
    [latPlace, lonPlace] = [latPlace / 20, lonPlace / 20];
    lat += DIGITS.indexOf(pairs.charAt(at)) * latPlace;
    lon += DIGITS.indexOf(pairs.charAt(at + 1)) * lonPlace;
  }
  for (const digit of code.slice(PAIR_DIGITS)) {
    [latPlace, lonPlace] = [latPlace / 5, lonPlace / 4];
    lat += Math.floor(DIGITS.indexOf(digit) / 4) * latPlace;
    lon += (DIGITS.indexOf(digit) % 4) * lonPlace;
  }
  if (lat >= 180 * LAT_UNITS || lon >= 360 * LON_UNITS) return null;
  return {
    lat: (lat + latPlace / 2) / LAT_UNITS - 90,
    lon: (lon + lonPlace / 2) / LON_UNITS - 180,
    half_lat: latPlace / 2 / LAT_UNITS,
    half_lon: lonPlace / 2 / LON_UNITS,
  };
}

/**
 * The visits that a repeat makes: a subset of the rules of RFC 5545. The twin is `schedule/rules/repeats.py`, which makes
 * them again and takes no others; both run tests/parity/repeats.json. A rule repeats days, in the order of the calendar;
 * the time stays that of the clock on the wall. Weeks begin on a Monday, as without WKST.
 */
import type { Day, Id } from "../../wire/types";
import { daysAfter } from "../due";
import { weekdayOf } from "./objections";

export const MOST_TIMES = 60;
const NAMES = ["MO", "TU", "WE", "TH", "FR", "SA", "SU"] as const;

export interface Repeat {
  every: number;
  unit: "week" | "month";
  /** The last day, or how many times: those that are left out count among them. */
  ends: { until: Day } | { times: number };
}

/** Of a month, which of its days of that name: 1 to 4, and -1 for the last where it is the fifth. */
export function nthOf(day: Day): number {
  const nth = Math.ceil(Number(day.slice(8)) / 7);
  return nth > 4 ? -1 : nth;
}

/** As RFC 5545 writes it, on the day of the week of the first visit. */
export function ruleOf({ every, unit, ends }: Repeat, first: Day): string {
  const name = NAMES[weekdayOf(first)] ?? "";
  const by = unit === "week" ? name : `${String(nthOf(first))}${name}`;
  const end =
    "times" in ends ? `COUNT=${String(ends.times)}` : `UNTIL=${ends.until.replaceAll("-", "")}`;
  const freq = unit === "week" ? "WEEKLY" : "MONTHLY";
  return `FREQ=${freq};INTERVAL=${String(every)};BYDAY=${by};${end}`;
}

interface ByDay {
  weekday: number;
  nth: number | null;
}

/** Null where it has more days than a series may, or is no rule of ours. */
export function daysOf(rule: string, first: Day): Day[] | null {
  const parts = new Map(rule.split(";").map((part) => part.split("=") as [string, string]));
  const every = Number(parts.get("INTERVAL"));
  const by = (parts.get("BYDAY") ?? "").split(",").map(byDay);
  const count = Number(parts.get("COUNT") ?? Infinity);
  const until = parts.get("UNTIL")?.replace(/(\d{4})(\d\d)(\d\d)/, "$1-$2-$3") ?? "9999-12-31";
  if (!(every >= 1) || (count === Infinity && !parts.has("UNTIL"))) return null;
  const spanOf = parts.get("FREQ") === "WEEKLY" ? week : month;
  const days: Day[] = [];
  for (let turn = 0; days.length <= MOST_TIMES; turn += every) {
    const span = spanOf(first, turn, by).filter((day) => day >= first);
    for (const day of span) {
      if (day > until || days.length >= count) return days;
      days.push(day);
    }
  }
  return null;
}

function byDay(text: string): ByDay {
  const nth = text.slice(0, -2);
  return {
    weekday: NAMES.findIndex((name) => name === text.slice(-2)),
    nth: nth === "" ? null : Number(nth),
  };
}

function week(first: Day, turn: number, by: readonly ByDay[]): Day[] {
  const monday = daysAfter(first, turn * 7 - weekdayOf(first));
  return by.map(({ weekday }) => daysAfter(monday, weekday)).toSorted();
}

function month(first: Day, turn: number, by: readonly ByDay[]): Day[] {
  const months = Number(first.slice(0, 4)) * 12 + Number(first.slice(5, 7)) - 1 + turn;
  const begins = firstOf(months);
  const days = by.map(({ weekday, nth }) => {
    if (nth !== null && nth < 0) {
      const last = daysAfter(firstOf(months + 1), -1);
      return daysAfter(last, -((weekdayOf(last) - weekday + 7) % 7));
    }
    const one = daysAfter(begins, (weekday - weekdayOf(begins) + 7) % 7);
    return daysAfter(one, 7 * ((nth ?? 1) - 1));
  });
  return [...new Set(days)].toSorted();
}

function firstOf(months: number): Day {
  const year = String(Math.floor(months / 12)).padStart(4, "0");
  return `${year}-${String((months % 12) + 1).padStart(2, "0")}-01`;
}

/** The id of the visit of a day: UUIDv5 (RFC 9562, section 5.5) of the series and the day. */
export async function occurrenceId(series: Id, day: Day): Promise<Id> {
  const space = Uint8Array.from(series.replaceAll("-", "").match(/../g) ?? [], (hex) =>
    Number.parseInt(hex, 16),
  );
  const named = new Uint8Array([...space, ...new TextEncoder().encode(day)]);
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-1", named)).slice(0, 16);
  hash[6] = ((hash[6] ?? 0) & 0x0f) | 0x50;
  hash[8] = ((hash[8] ?? 0) & 0x3f) | 0x80;
  const hex = Array.from(hash, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [
    hex.slice(0, 8),
    hex.slice(8, 12),
    hex.slice(12, 16),
    hex.slice(16, 20),
    hex.slice(20),
  ].join("-");
}

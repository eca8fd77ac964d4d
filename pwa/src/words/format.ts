/**
 * Dates, times and measures as a person of the practice reads them: in its zone and its units.
 * Everything is UTC and metric at rest; this is the only place that turns it.
 */
import { placesOf } from "../domain/money";
import type { DistanceUnit } from "../domain/screening/book";
import { minuteOf } from "../domain/time-of-day";
import { language, t } from "./index";

export type Units = "mm" | "in";
export interface Place {
  zone: string;
  units: Units;
  /** In which its roads are measured: a country's miles don't follow from its inches. */
  roads: DistanceUnit;
  locale: string;
}

const MM_PER_INCH = 25.4;
// The international mile.
const METRES_PER_MILE = 1609.344;
// Of the US, 1/128 of its gallon.
const ML_PER_FLUID_OUNCE = 29.5735295625;
let place: Place = { zone: "UTC", units: "mm", roads: "km", locale: language };
/** Kept, since making one costs a hundred times what using it does: lists ask for the day of thousands of moments. */
const writers = new Map<string, Intl.DateTimeFormat>();

function writer(locale: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const key = JSON.stringify([locale, options]);
  const known = writers.get(key);
  if (known !== undefined) return known;
  const made = new Intl.DateTimeFormat(locale, options);
  writers.set(key, made);
  return made;
}

/** Where no book says what its roads are measured in, `units` do. */
export function setPlace(
  next: { zone: string; units: Units; roads?: DistanceUnit | undefined },
  languages: readonly string[],
): void {
  const locale = languages.find((tag) => tag.split("-")[0] === language) ?? language;
  place = { ...next, roads: next.roads ?? (next.units === "in" ? "mile" : "km"), locale };
}

function write(at: string | Date, options: Intl.DateTimeFormatOptions): string {
  return writer(place.locale, { timeZone: place.zone, ...options }).format(new Date(at));
}

export function time(at: string | Date): string {
  return write(at, { hour: "numeric", minute: "2-digit" });
}

/** A time of the clock on the wall (HH:MM, or minutes of the day), without a day or a zone. */
export function wallTime(clock: string | number): string {
  const minute = typeof clock === "number" ? clock : minuteOf(clock);
  return writer(place.locale, { timeZone: "UTC", hour: "numeric", minute: "2-digit" }).format(
    minute * 60_000,
  );
}

export function day(at: string | Date): string {
  return write(at, { weekday: "long", day: "numeric", month: "long" });
}

export function dayAndTime(at: string | Date): string {
  return t("format.day_and_time", {
    day: write(at, { weekday: "short", day: "numeric", month: "short", year: "numeric" }),
    time: time(at),
  });
}

/** A calendar date without a zone, such as a date of birth. */
export function date(plain: string): string {
  return writer(place.locale, {
    timeZone: "UTC",
    day: "numeric",
    month: "long",
    year: "numeric",
  }).format(new Date(`${plain}T00:00:00Z`));
}

/** A calendar date without a zone, with its day of the week: by when something is due. */
export function dueDate(plain: string): string {
  return writer(place.locale, {
    timeZone: "UTC",
    weekday: "long",
    day: "numeric",
    month: "long",
    year: "numeric",
  }).format(new Date(`${plain}T00:00:00Z`));
}

/** A day of the week by its number; 0 is Monday. */
export function weekday(number: number): string {
  // The first of January 2024 was a Monday.
  const day = new Date(Date.UTC(2024, 0, 1 + number));
  return writer(place.locale, { timeZone: "UTC", weekday: "long" }).format(day);
}

/** The calendar date of a moment in the practice's zone, with its year. */
export function dateOf(at: string | Date): string {
  return date(dayKey(at));
}

/** The calendar day of a moment in the practice's zone, as YYYY-MM-DD. */
export function dayKey(at: string | Date): string {
  return writer("en-CA", { timeZone: place.zone }).format(new Date(at)).slice(0, 10);
}

/** The moment of a wall-clock time (YYYY-MM-DD, HH:MM) in the practice's zone. */
export function moment(plainDay: string, clock: string): Date {
  const wall = Date.parse(`${plainDay}T${clock}:00Z`);
  const [before, after] = [zoneOffset(wall - DAY_MS), zoneOffset(wall + DAY_MS)];
  // A time that comes twice is the first of the two, one that is skipped is an hour later (RFC 5545, 3.3.5).
  const isAfter = zoneOffset(wall - before) !== before && zoneOffset(wall - after) === after;
  return new Date(wall - (isAfter ? after : before));
}

const DAY_MS = 86_400_000;

function zoneOffset(at: number): number {
  const parts = writer("en-US", {
    timeZone: place.zone,
    hourCycle: "h23",
    year: "numeric",
    month: "2-digit",
    day: "2-digit",
    hour: "2-digit",
    minute: "2-digit",
    second: "2-digit",
  }).formatToParts(at);
  const field = (type: string) => Number(parts.find((part) => part.type === type)?.value);
  const asUtc = Date.UTC(
    field("year"),
    field("month") - 1,
    field("day"),
    field("hour"),
    field("minute"),
    field("second"),
  );
  return asUtc - Math.floor(at / 1000) * 1000;
}

export function number(value: number, digits = 1): string {
  return new Intl.NumberFormat(place.locale, { maximumFractionDigits: digits }).format(value);
}

/** What was driven, from tenths of the unit in which it was read off. */
export function driven(tenths: number, unit: "mile" | "km"): string {
  return t(`miles.driven.${unit}`, { count: tenths / 10, n: number(tenths / 10, 1) });
}

/** From cents or pence; without a sign where nobody knows the currency. */
export function money(minor: number, currency: string): string {
  const places = placesOf(currency);
  return inCurrency(minor / 10 ** places, currency, places, places);
}

/** Rates are told in parts of a cent or penny as well. */
export function moneyRate(rate: string, currency: string): string {
  return inCurrency(Number(rate), currency, 4);
}

function inCurrency(amount: number, currency: string, most: number, least = 2): string {
  const digits = { minimumFractionDigits: least, maximumFractionDigits: most };
  const how = currency === "" ? digits : { style: "currency" as const, currency, ...digits };
  return new Intl.NumberFormat(place.locale, how).format(amount);
}

export function length(mm: number): string {
  if (place.units === "in") return t("format.inches", { n: number(mm / MM_PER_INCH, 2) });
  return t("format.mm", { n: number(mm, 1) });
}

export function lengthUnit(): string {
  return place.units === "in" ? t("unit.in") : t("unit.mm");
}

export function toMm(shown: number): number {
  return place.units === "in" ? Math.round(shown * MM_PER_INCH * 10) / 10 : shown;
}

export function fromMm(mm: number): number {
  return place.units === "in" ? Math.round((mm / MM_PER_INCH) * 100) / 100 : mm;
}

/** How far a drive is: of a guess or of a road. */
export function distance(metres: number): string {
  if (place.roads === "mile") return t("format.miles", { n: number(metres / METRES_PER_MILE, 1) });
  return t("format.km", { n: number(metres / 1000, 1) });
}

/** In ounces also in millilitres, which a measuring cup has too. */
export function volume(ml: number): string {
  const inMl = t("format.ml", { n: fewDigits(ml) });
  if (place.units === "mm") return inMl;
  return t("format.fluid_ounces", { n: fewDigits(fromMl(ml)), ml: inMl });
}

export function volumeUnit(): string {
  return place.units === "in" ? t("unit.fluid_ounces") : t("unit.ml");
}

export function toMl(shown: number): number {
  return place.units === "in" ? shown * ML_PER_FLUID_OUNCE : shown;
}

export function fromMl(ml: number): number {
  return place.units === "in" ? Math.round((ml / ML_PER_FLUID_OUNCE) * 1000) / 1000 : ml;
}

/** As close as a cup or a syringe can measure it. */
function fewDigits(volume: number): string {
  return number(volume, volume < 10 ? 2 : volume < 100 ? 1 : 0);
}

/** In degrees Fahrenheit rounded up: what is asked for is never shown as less. */
export function temperature(celsius: number): string {
  if (place.units === "mm") return t("format.celsius", { n: number(celsius, 1) });
  return t("format.fahrenheit", { n: number(Math.ceil(fromCelsius(celsius)), 0) });
}

export function temperatureUnit(): string {
  return place.units === "in" ? t("unit.fahrenheit") : t("unit.celsius");
}

export function toCelsius(shown: number): number {
  return place.units === "in" ? ((shown - 32) * 5) / 9 : shown;
}

export function fromCelsius(celsius: number): number {
  return place.units === "in" ? Math.round(((celsius * 9) / 5 + 32) * 100) / 100 : celsius;
}

/** The code on a label, which is never broken at its hyphen. */
export function labelCode(code: string): string {
  return code.replace("-", "\u2011");
}

export function list(items: readonly string[]): string {
  return new Intl.ListFormat(place.locale, { type: "conjunction" }).format(items);
}

/** So many minutes, as one says how long a drive is. */
export function span(minutes: number): string {
  const [hours, rest] = [Math.floor(minutes / 60), minutes % 60];
  if (hours === 0) return t("format.minutes", { n: rest });
  if (rest === 0) return t("format.hours", { n: hours });
  return t("format.hours_minutes", { hours, minutes: rest });
}

/** How long a drive takes, from seconds. */
export function driveSpan(seconds: number): string {
  return span(Math.round(seconds / 60));
}

/** A span as minutes and seconds, for a timer. */
export function clockSpan(seconds: number): string {
  const whole = Math.max(0, Math.floor(seconds));
  const minutes = Math.floor(whole / 60);
  return `${String(minutes)}:${String(whole % 60).padStart(2, "0")}`;
}

/** The wall-clock time of a moment in the practice's zone, as HH:MM for a time field. */
export function clockOf(at: string | Date): string {
  return writer("en-GB", {
    timeZone: place.zone,
    hour: "2-digit",
    minute: "2-digit",
  }).format(new Date(at));
}

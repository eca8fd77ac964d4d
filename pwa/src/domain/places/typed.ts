/** What somebody typed to say where a place is: a plus code, or two numbers. */
import { greatCircle } from "./great-circle";
import { isShortCode, readPlusCode } from "./plus-code";
import { type Position, sixDecimals } from "./position";

/** `other` may be a post code, which only the server knows. */
export type Typed =
  { position: Position } | { fault: "empty" | "short_code" | "bad_code" | "off_the_map" | "other" };

const NUMBER = /^[+-]?\d{1,3}(?:\.\d+)?$/;

export function readTyped(text: string): Typed {
  const said = text.trim();
  if (said === "") return { fault: "empty" };
  if (said.includes("+") && !NUMBER.test(said.split(/[,;\s]/)[0] ?? "")) return fromCode(said);
  const numbers = said.split(/\s*[,;]\s*|\s+/);
  const [lat, lon] = numbers.map(Number);
  if (numbers.length !== 2 || !numbers.every((each) => NUMBER.test(each)))
    return { fault: "other" };
  if (lat === undefined || lon === undefined) return { fault: "other" };
  if (Math.abs(lat) > 90 || Math.abs(lon) > 180) return { fault: "off_the_map" };
  const [six, sixLon] = [sixDecimals(lat), sixDecimals(lon)];
  return { position: { lat: six, lon: sixLon, source: "typed", accuracy_m: null } };
}

function fromCode(said: string): Typed {
  if (isShortCode(said.split(/\s/)[0] ?? "")) return { fault: "short_code" };
  const cell = readPlusCode(said);
  if (cell === null) return { fault: "bad_code" };
  const corner = { lat: cell.lat + cell.half_lat, lon: cell.lon + cell.half_lon };
  return {
    position: {
      lat: sixDecimals(cell.lat),
      lon: sixDecimals(cell.lon),
      source: "plus_code",
      accuracy_m: Math.min(greatCircle(cell, corner) + 1, 1_000_000),
    },
  };
}

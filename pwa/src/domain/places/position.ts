/** Where something is, and how that is known. The twin of the server's `places/position.py`. */
import type { WireRows } from "../../wire/types";

export type Position = NonNullable<WireRows["client"]["position"]>;
export type Point = Pick<Position, "lat" | "lon">;

/** A tenth of a metre: nothing that is known of a door is finer. */
export function sixDecimals(degrees: number): number {
  return Math.round(degrees * 1e6) / 1e6;
}

export function samePosition(
  one: Position | null | undefined,
  other: Position | null | undefined,
): boolean {
  if (!one || !other) return !one && !other;
  return (
    one.lat === other.lat &&
    one.lon === other.lon &&
    one.source === other.source &&
    one.accuracy_m === other.accuracy_m
  );
}

/** What the device says of where it is: never more exact than it is. */
export function fromDevice(told: {
  latitude: number;
  longitude: number;
  accuracy: number;
}): Position {
  return {
    lat: sixDecimals(told.latitude),
    lon: sixDecimals(told.longitude),
    source: "device",
    accuracy_m: Math.min(Math.ceil(told.accuracy), 1_000_000),
  };
}

/** RFC 5870. With the uncertainty in metres, where it is known. */
export function geoLink({ lat, lon, accuracy_m }: Position): string {
  const off = accuracy_m === null ? "" : `;u=${String(accuracy_m)}`;
  return `geo:${lat.toFixed(6)},${lon.toFixed(6)}${off}`;
}

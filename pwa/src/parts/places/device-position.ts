/** Asks the device where it is. Nothing of it leaves the phone by that. */
import { fromDevice, type Position } from "../../domain/places/position";

export type NoPosition = "refused" | "not_found" | "too_slow";

const LONGEST_MS = 30_000;

export function devicePosition(): Promise<Position | NoPosition> {
  return new Promise((told) => {
    // Some browsers have no such thing, whatever the types say.
    if (!("geolocation" in navigator)) {
      told("not_found");
      return;
    }
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => {
        told(fromDevice(coords));
      },
      ({ code }) => {
        told(code === 1 ? "refused" : code === 3 ? "too_slow" : "not_found");
      },
      { enableHighAccuracy: true, timeout: LONGEST_MS, maximumAge: 0 },
    );
  });
}

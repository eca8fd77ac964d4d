/** The shortest way over a round Earth, in whole metres. The twin of `places/rules.py`. */
import type { Point } from "./position";

// IUGG: (2a + b) / 3 of WGS 84.
export const EARTH_RADIUS_M = 6_371_008.8;

export function greatCircle(from: Point, to: Point): number {
  const [lat, lat2] = [radians(from.lat), radians(to.lat)];
  const half =
    Math.sin((lat2 - lat) / 2) ** 2 +
    Math.cos(lat) * Math.cos(lat2) * Math.sin(radians(to.lon - from.lon) / 2) ** 2;
  return Math.round(2 * EARTH_RADIUS_M * Math.asin(Math.min(1, Math.sqrt(half))));
}

function radians(degrees: number): number {
  return (degrees * Math.PI) / 180;
}

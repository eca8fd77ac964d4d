/** How far and how long a drive is, guessed from the straight line. The twin of `places/rules.py`. */
import type { Travel } from "../screening/book";
import { greatCircle } from "./great-circle";
import type { Point } from "./position";

export interface Drive {
  metres: number;
  seconds: number;
}

/** Time grows with length: each part of the way is driven at the speed of its own band. */
export function drive(straight: number, travel: Travel): Drive {
  const metres = Math.floor((straight * travel.road_percent + 50) / 100);
  let [seconds, from] = [0, 0];
  for (const { up_to_m, km_h } of travel.speeds) {
    const to = up_to_m === null ? metres : Math.min(metres, up_to_m);
    if (to > from) seconds += ((to - from) * 36) / (km_h * 10);
    from = Math.max(from, to);
  }
  return { metres, seconds: Math.floor(seconds + 0.5) };
}

export function estimate(from: Point, to: Point, travel: Travel): Drive {
  return drive(greatCircle(from, to), travel);
}

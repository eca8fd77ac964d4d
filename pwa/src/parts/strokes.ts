/** A signature from the pad, as much of it as the server takes. Pure. */
import type { StrokePoint } from "../domain/commands";

interface Drawn {
  points: readonly { x: number; y: number; time: number }[];
}

const MOST_STROKES = 300;
const MOST_POINTS = 5000;
/** Of all strokes together: minutes of drawing, and less than the largest body that is taken from a link. */
const MOST_IN_ALL = 20_000;

export function strokesOf(drawn: readonly Drawn[]): StrokePoint[][] {
  let left = MOST_IN_ALL;
  const strokes = drawn.slice(0, MOST_STROKES).map(({ points }) => {
    const taken = points.slice(0, Math.min(MOST_POINTS, left));
    left -= taken.length;
    return taken.map(({ x, y, time }) => ({ x: Math.round(x), y: Math.round(y), t: time }));
  });
  return strokes.filter((stroke) => stroke.length > 0);
}

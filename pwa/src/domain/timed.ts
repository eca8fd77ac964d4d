/** What is timed on a screen, by timestamps alone, so that a locked phone or a reload loses nothing. */
import type { Instant } from "../wire/types";

/** What is done for a while, such as rubbing the hands, from when it began. */
export interface Timed {
  began: Instant;
  seconds: number;
}

/** What ended so long ago may have been for another client, and is told no more. */
const TOLD_SECONDS = 30 * 60;

/** What is left of it, 0 where it has just ended; null where nothing is timed. */
export function secondsLeft(timed: Timed | null | undefined, now: Date): number | null {
  if (!timed) return null;
  const gone = Math.max(0, Math.floor((now.getTime() - Date.parse(timed.began)) / 1000));
  return gone > timed.seconds + TOLD_SECONDS ? null : Math.max(0, timed.seconds - gone);
}

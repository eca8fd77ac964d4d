/**
 * For how long records may be opened without a word from the practice. Pure: the phone's own clock is
 * all it has, and it may be set back, so the latest time that was ever seen on it counts as well.
 */
import type { Instant } from "../wire/types";

export interface Lease {
  /** As the practice gave it with the last answer. */
  seconds: number;
  heard_at: Instant;
  /** The latest time that this phone has shown since. */
  latest_seen: Instant;
}

/** Seconds; 0 or less where it is over. */
export function leaseLeft({ seconds, heard_at, latest_seen }: Lease, now: Date): number {
  const latest = Math.max(now.getTime(), Date.parse(latest_seen));
  return seconds - Math.max(0, latest - Date.parse(heard_at)) / 1000;
}

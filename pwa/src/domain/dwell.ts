/**
 * How long a softener has been on, from timestamps alone, so that a locked screen or a reload loses
 * nothing. The least and the most minutes come from the client's limits.
 */
import type { Instant } from "../wire/types";

/** under: too short yet. due: long enough, take it off. overrun: longer than the most. */
export type DwellState = "under" | "due" | "overrun";

export interface Dwell {
  state: DwellState;
  running: boolean;
  elapsed_seconds: number;
  /** Until it is due, or 0. */
  seconds_to_due: number;
  /** Past the most minutes, or 0. */
  seconds_over: number;
}

export interface DwellBounds {
  least_minutes: number;
  most_minutes: number;
}

export function dwell(
  placed_at: Instant,
  removed_at: Instant | null,
  now: Date,
  bounds: DwellBounds,
): Dwell {
  const end = removed_at === null ? now.getTime() : Date.parse(removed_at);
  // A clock set back in mid-visit must not show a negative time.
  const elapsed = Math.max(0, Math.floor((end - Date.parse(placed_at)) / 1000));
  const least = bounds.least_minutes * 60;
  const most = bounds.most_minutes * 60;
  return {
    state: elapsed > most ? "overrun" : elapsed >= least ? "due" : "under",
    running: removed_at === null,
    elapsed_seconds: elapsed,
    seconds_to_due: Math.max(0, least - elapsed),
    seconds_over: Math.max(0, elapsed - most),
  };
}

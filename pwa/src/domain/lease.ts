/**
 * For how long records may be opened without a word from the practice. Pure. The phone's own clock is all it
 * has, and that may be wrong, or be set back to make the lease last: so what has gone is counted, and is never
 * given back before the practice is heard again.
 */
import type { Instant } from "../wire/types";

export interface Lease {
  /** As the practice gave it with its last answer. */
  seconds: number;
  /** When that was, by the phone's clock and by the server's. */
  heard_at: Instant;
  server_now: Instant;
  /** What the phone's clock showed when it was last looked at. */
  latest_seen: Instant;
  /** Seconds gone until then. It only rises. */
  elapsed: number;
}

/** Seconds. A clock that is set back by more is not put right, it is hiding time. */
const SET_RIGHT = 86_400;

/** The lease that comes with an answer of the practice, heard at `heard_at` by the phone's clock. */
export function leaseHeard(
  { now: server_now, lease_seconds: seconds }: { now: Instant; lease_seconds: number },
  heard_at: Instant,
): Lease {
  return { seconds, heard_at, server_now, latest_seen: heard_at, elapsed: 0 };
}

/**
 * The lease once the clock was looked at. `ran` are seconds that have gone for certain since the practice was
 * heard, by a clock that nobody can set.
 */
export function leaseSeen(lease: Lease, now: Date, ran = 0): Lease {
  const elapsed = Math.max(lease.elapsed, gone(lease, now.getTime()), ran);
  return { ...lease, latest_seen: now.toISOString(), elapsed };
}

/** Seconds; 0 or less where it is over. */
export function leaseLeft(lease: Lease, now: Date): number {
  return lease.seconds - leaseSeen(lease, now).elapsed;
}

/** Whether both count from the same answer of the practice. */
export function isSameLease(one: Lease, other: Lease): boolean {
  const parts = ["server_now", "heard_at", "seconds"] as const;
  return parts.every((part) => one[part] === other[part]);
}

function gone({ seconds, heard_at, server_now, latest_seen, elapsed }: Lease, now: number): number {
  const [heard, server] = [Date.parse(heard_at), Date.parse(server_now)];
  const since = (now - Date.parse(latest_seen)) / 1000;
  if (since >= 0) return elapsed + since;
  // Set back: time runs on from here. What went meanwhile shows where the clock was set right.
  if ((Math.min(heard, server) - now) / 1000 > SET_RIGHT) return Math.max(elapsed, seconds);
  return (now - (now < heard ? server : heard)) / 1000;
}

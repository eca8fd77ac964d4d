/**
 * For how long records may be opened without a word from the practice. Pure: the phone's own clock is
 * all it has, and that may be wrong, or be set back to make the lease last.
 */
import type { Instant } from "../wire/types";

export interface Lease {
  /** As the practice gave it with its last answer. */
  seconds: number;
  /** When that was, by the phone's clock and by the server's. */
  heard_at: Instant;
  server_now: Instant;
  /** The latest time that the phone's clock has shown since. */
  latest_seen: Instant;
}

/** The lease that comes with an answer of the practice, heard at `heard_at` by the phone's clock. */
export function leaseHeard(
  { now: server_now, lease_seconds: seconds }: { now: Instant; lease_seconds: number },
  heard_at: Instant,
): Lease {
  return { seconds, heard_at, server_now, latest_seen: heard_at };
}

/** Seconds; 0 or less where it is over. */
export function leaseLeft(lease: Lease, now: Date): number {
  return lease.seconds - Math.max(0, passed(lease, now)) / 1000;
}

function passed({ heard_at, server_now, latest_seen }: Lease, now: Date): number {
  const heard = Date.parse(heard_at);
  const seen = Date.parse(latest_seen) - heard;
  // A clock that was ahead then and has been set right since is measured from the server's.
  const since = now.getTime() < heard ? Date.parse(server_now) : heard;
  return Math.max(seen, now.getTime() - since);
}

/** Who is expected back, and how long a paper still holds. */
import type { Day, Id } from "../wire/types";
import { newest } from "./by-time";
import { daysBetween } from "./due";
import type { RowOf } from "./rows";

interface Kept {
  row: RowOf<"watch">;
  pending: boolean;
}

/**
 * How a check-in stands. `unsent` and `back_unsent`: the server has not heard it, so that nobody watches, or
 * somebody may still be told.
 */
export type Watching = "unsent" | "running" | "soon" | "over" | "told" | "back_unsent" | "ended";

const SOON_MS = 10 * 60_000;

export function watching({ row, pending }: Kept, now: Date): Watching {
  if (row.ended_at !== null) return pending ? "back_unsent" : "ended";
  if (pending) return "unsent";
  const left = Date.parse(row.back_by) - now.getTime();
  if (left <= 0) return row.alarm === "told" ? "told" : "over";
  return left <= SOON_MS ? "soon" : "running";
}

/** The one that matters to somebody now: the newest that is not over and done with. */
export function ownWatch<W extends Kept>(all: readonly W[], me: Id, now: Date): W | null {
  const open = all.filter((watch) => watch.row.staff === me && watching(watch, now) !== "ended");
  return newest(open, ({ row }) => row.began_at);
}

/** Colleagues whose time is over and who have not checked in. */
export function missedColleagues<W extends Kept>(all: readonly W[], me: Id, now: Date): W[] {
  return all.filter(
    (watch) => watch.row.staff !== me && ["over", "told"].includes(watching(watch, now)),
  );
}

export type PaperStanding = "no_date" | "holds" | "ends_soon" | "ends_now" | "over";

// To plan for a renewal, and to hurry. Common practice, no source.
const SOON_DAYS = 60;
const NOW_DAYS = 14;

/** A paper holds through the day that is printed on it. */
export function paperStanding(expires: Day | null, today: Day): PaperStanding {
  if (expires === null) return "no_date";
  const left = daysBetween(today, expires);
  if (left < 0) return "over";
  if (left <= NOW_DAYS) return "ends_now";
  return left <= SOON_DAYS ? "ends_soon" : "holds";
}

export function needsRenewal(standing: PaperStanding): boolean {
  return standing === "ends_soon" || standing === "ends_now" || standing === "over";
}

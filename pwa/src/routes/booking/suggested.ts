/** When the next visit would be: as many weeks after the last one as was said at its sign-off. */
import type { NotReady } from "../../domain/not-ready";
import type { BookJson } from "../../domain/screening/book";
import type { RowOf } from "../../domain/rows";
import type { Staff } from "../../wire/types";
import { clockOf, dayKey } from "../../words/format";
import type { ClientFile } from "../client/file";
import { holdOf } from "../client/hold";
import type { RepeatForm } from "./repeat";
import { lengthOf, servicesOf, usualService } from "./service";

export interface When {
  day: string;
  clock: string;
  minutes: number | null;
  staff: string;
}

/** A visit that is to be booked, and what for. */
export interface Booked extends When {
  service: string;
  repeat: RepeatForm;
}

const WEEK_MS = 7 * 86_400_000;
const USUAL_MINUTES = 60;

/** The last one that was signed off. Where something went wrong in it, it may name no weeks, and none before it counts. */
export function lastVisit(file: Pick<ClientFile, "visits">): RowOf<"visit"> | undefined {
  return file.visits.find(({ row }) => row.state !== "started")?.row;
}

/** `unready` is what a coordinator is told of a resident, today. */
export function suggested(
  file: ClientFile,
  book: BookJson | null,
  me: Staff | null,
  now: Date,
  unready?: NotReady,
): Omit<Booked, "repeat"> {
  const service = usualService(file, servicesOf(book));
  const last = lastVisit(file);
  const before = file.bookings.find(({ id }) => id === last?.booking)?.row;
  const from = before?.starts_at ?? last?.started_at;
  const wanted = from ? Date.parse(from) + (last?.record.weeks_until_next ?? 0) * WEEK_MS : 0;
  // Whom nobody may work on is not booked for today by a slip, nor one whose next visit was left open.
  const open = last !== undefined && !last.record.weeks_until_next;
  const soonest = holdOf(file) === null && !unready && !open ? dayKey(now) : "";
  const usual = me && me.role !== "coordinator" ? me.id : "";
  return {
    day: wanted > now.getTime() ? dayKey(new Date(wanted)) : soonest,
    clock: from ? clockOf(from) : "",
    minutes: service ? lengthOf(file, service).minutes : (before?.minutes ?? USUAL_MINUTES),
    service: service?.id ?? "",
    staff: before?.staff ?? usual,
  };
}

/** What went wrong: which still waits, which must be asked after today, which to have in mind. */
import type { Day, Id, Instant } from "../wire/types";

/** What tells when to ask after the client. */
export interface Followed {
  row: { follow_up_on: Day | null; closed_at: Instant | null };
}

interface Mishap extends Followed {
  row: Followed["row"] & { staff: Id; happened_at: Instant };
}

/** How long one that is closed is named at the next visit. Our own rule. */
export const RECENT_DAYS = 90;
/** The book's ids of what bleeds. */
export const BLOOD = "blood";
const BLEEDING: readonly string[] = ["nick", "bleeding"];
const DAY_MS = 86_400_000;

export function isOpen({ row }: Mishap): boolean {
  return row.closed_at === null;
}

/** In the practice's zone. */
export type DayOf = (at: Instant) => Day;

/** The day to ask after the client. A closing keeps one that was still ahead. */
export function followUp({ row }: Followed, dayOf: DayOf): Day | null {
  const { closed_at: closed, follow_up_on: day } = row;
  return closed === null || day === null || day > dayOf(closed) ? day : null;
}

/** Whether it is time to ask after the client; `day` is today. */
export function isDue(mishap: Mishap, day: Day, dayOf: DayOf): boolean {
  const ask = followUp(mishap, dayOf);
  return ask !== null && ask <= day;
}

/** Those that are not closed, or are to be asked after now: the ones to ask after first, the longest due before; then the newest. */
export function openMishaps<M extends Mishap>(mishaps: readonly M[], day: Day, dayOf: DayOf): M[] {
  const due = (one: M) => isDue(one, day, dayOf);
  const waiting = mishaps.filter((one) => isOpen(one) || due(one));
  return waiting.sort((one, other) => {
    const first = Number(due(other)) - Number(due(one));
    if (first !== 0) return first;
    if (due(one)) return (one.row.follow_up_on ?? "").localeCompare(other.row.follow_up_on ?? "");
    return Date.parse(other.row.happened_at) - Date.parse(one.row.happened_at);
  });
}

/** Whose it is to look at: an owner's all, a technician's those they reported and those that are due. */
export function waitingFor<M extends Mishap>(
  mishaps: readonly M[],
  who: { id: Id; role: string } | null,
  day: Day,
  dayOf: DayOf,
): M[] {
  return openMishaps(mishaps, day, dayOf).filter(
    (one) => who?.role === "owner" || one.row.staff === who?.id || isDue(one, day, dayOf),
  );
}

interface InVisit {
  row: { visit: Id | null; kind: string; visit_stopped?: boolean };
}

/** What went wrong in one visit. */
export function ofVisit<M extends InVisit>(mishaps: readonly M[], visit: Id): M[] {
  return mishaps.filter(({ row }) => row.visit === visit);
}

/** The one of which it was said that the visit stops; rows of an older server do not tell. */
export function stopping<M extends InVisit>(ofOneVisit: readonly M[]): M | undefined {
  return ofOneVisit.find(({ row }) => row.visit_stopped ?? false);
}

/** Whether somebody bled in the visit: by what went wrong, or by a stop sign. */
export function bled(ofOneVisit: readonly InVisit[], stopSigns: readonly string[]): boolean {
  return stopSigns.includes(BLOOD) || ofOneVisit.some(({ row }) => BLEEDING.includes(row.kind));
}

/** The one to have in mind at the next visit: of the open ones the newest, else the last of late. */
export function toRemember<M extends Mishap>(mishaps: readonly M[], now: Date): M | null {
  const newest = mishaps.toSorted(
    (one, other) => Date.parse(other.row.happened_at) - Date.parse(one.row.happened_at),
  );
  const since = now.getTime() - RECENT_DAYS * DAY_MS;
  const recent = newest.find(({ row }) => Date.parse(row.happened_at) >= since);
  return newest.find(isOpen) ?? recent ?? null;
}

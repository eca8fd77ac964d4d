/** A booking that is being changed: what was typed over it, and how it stood when that began. */
import type { CancelCode, NotSeenCode } from "../../domain/commands";
import { byTime } from "../../domain/by-time";
import type { BookingState, RowOf } from "../../domain/rows";
import type { Held } from "../../store";
import { clockOf, dayKey } from "../../words/format";
import type { Freed } from "../waiting/waits";
import type { When } from "./suggested";

/** Why nothing came of it: a code, and what was said of it. */
export interface Why<Code extends string = CancelCode | NotSeenCode> {
  code: Code | "";
  words: string;
}

export interface BookingChange {
  when: When | null;
  /** Null where a refused change was brought back: it is then laid over the booking as it is now. */
  began: { when: When; seen: number } | null;
  cancel: Why<CancelCode>;
  not_seen: Why<NotSeenCode>;
  /** Of a visit that repeats: all later ones as well. Not there in a form of an app of before. */
  rest?: boolean;
}

export const CANCEL_CODES = [
  ...["client_asked", "unwell", "in_hospital", "moved_away", "died", "not_ready"],
  ...["technician_away", "mistake", "other"],
] as const satisfies readonly CancelCode[];

export const NOT_SEEN_CODES = [
  ...["not_in", "no_access", "asleep", "refused", "unwell", "in_hospital", "not_ready"],
  ...["no_time", "other"],
] as const satisfies readonly NotSeenCode[];

export function blankChange(): BookingChange {
  return { when: null, began: null, cancel: noWhy(), not_seen: noWhy() };
}

function noWhy(): Why<never> {
  return { code: "", words: "" };
}

/** A code of a later server has no words here; what was said of it is shown. */
export function isReason(code: string | undefined): code is CancelCode | NotSeenCode {
  return [...CANCEL_CODES, ...NOT_SEEN_CODES].some((known) => known === code);
}

/** What is missing of a reason, by the keys of its words. */
export function lackingWhy({ code, words }: Why) {
  if (code === "") return ["booking.why"] as const;
  return code === "other" && words.trim() === "" ? (["booking.reason_words"] as const) : [];
}

/** Somebody may be told as not seen from the day of the visit on, where none has begun. */
export function mayBeNotSeen(state: BookingState, due: boolean, begun: boolean): boolean {
  return state === "booked" && due && !begun;
}

export function whenOf({
  starts_at,
  minutes,
  staff,
}: Pick<RowOf<"booking">, "starts_at" | "minutes" | "staff">): When {
  return { day: dayKey(starts_at), clock: clockOf(starts_at), minutes, staff };
}

/** The time of a visit, for whoever waits for one. */
export function freedOf({ id, row }: Held<"booking">): Freed {
  const { day, clock, staff } = whenOf(row);
  return { booking: id, staff, day, clock, minutes: row.minutes };
}

/** Those of the same repeat that come after a visit and still stand. */
export function laterOf(
  booking: Held<"booking"> | undefined,
  all: readonly Held<"booking">[],
): readonly Held<"booking">[] {
  const series = booking?.row.series;
  if (!booking || !series) return [];
  const at = Date.parse(booking.row.starts_at);
  return all
    .filter(({ row }) => row.series === series && row.state === "booked")
    .filter(({ row }) => Date.parse(row.starts_at) > at)
    .toSorted(byTime(({ row }) => row.starts_at));
}

/** Nothing typed: the form then follows the booking when somebody else moves it. */
export function untouched({ when, began }: BookingChange): boolean {
  if (when === null) return true;
  return (
    began !== null &&
    (["day", "clock", "minutes", "staff"] as const).every(
      (field) => when[field] === began.when[field],
    )
  );
}

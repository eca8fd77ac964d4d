/** What is asked before somebody works alone. */
import { newest } from "../../domain/by-time";
import { daysAfter } from "../../domain/due";
import type { Held } from "../../store";
import type { MessageKey } from "../../words";
import { clockOf, dayKey, moment } from "../../words/format";

export interface CheckInForm {
  clock: string;
  reach_at: string;
  tell_name: string;
  tell_email: string;
}

const MINUTE_MS = 60_000;
const STEP_MS = 5 * MINUTE_MS;
/** To pack up and to get away. */
const AFTER_THE_LAST_MS = 30 * MINUTE_MS;
const WITHOUT_BOOKINGS_MS = 120 * MINUTE_MS;
const LONGER_MS = 30 * MINUTE_MS;
const EMAIL = /^[!-?A-~]+@[!-?A-~]+\.[!-?A-~]+$/;

function rounded(at: number): Date {
  return new Date(Math.ceil(at / STEP_MS) * STEP_MS);
}

/** Half an hour after somebody's last visit of today; what they told last time stays. */
export function suggestedCheckIn(
  bookings: readonly Held<"booking">[],
  watches: readonly Held<"watch">[],
  me: string,
  now: Date,
): CheckInForm {
  const today = dayKey(now);
  const ends = bookings
    .filter(({ row }) => row.staff === me && row.state === "booked")
    .filter(({ row }) => dayKey(row.starts_at) === today)
    .map(({ row }) => Date.parse(row.starts_at) + row.minutes * MINUTE_MS)
    .filter((end) => end > now.getTime());
  const after =
    ends.length > 0 ? Math.max(...ends) + AFTER_THE_LAST_MS : now.getTime() + WITHOUT_BOOKINGS_MS;
  const own = watches.filter(({ row }) => row.staff === me).map(({ row }) => row);
  const last = newest(own, ({ began_at }) => began_at);
  return {
    clock: clockOf(rounded(after)),
    reach_at: last?.reach_at ?? "",
    tell_name: last?.tell_name ?? "",
    tell_email: last?.tell_email ?? "",
  };
}

/** The next time at which a clock shows that. */
export function backBy(clock: string, now: Date): Date {
  const today = moment(dayKey(now), clock);
  return today > now ? today : moment(daysAfter(dayKey(now), 1), clock);
}

/** Half an hour more, from now on where the time is over. */
export function longer(back_by: string, now: Date): Date {
  return rounded(Math.max(Date.parse(back_by), now.getTime()) + LONGER_MS);
}

export function isEmail(text: string): boolean {
  return EMAIL.test(text.trim());
}

/** What is still missing before somebody can be told. */
export function lacking(form: CheckInForm): MessageKey[] {
  return [
    ...(form.clock ? [] : (["check_in.clock"] as const)),
    ...(form.tell_name.trim() ? [] : (["check_in.tell_name"] as const)),
    ...(isEmail(form.tell_email) ? [] : (["check_in.tell_email"] as const)),
  ];
}

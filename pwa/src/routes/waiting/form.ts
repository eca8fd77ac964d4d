/** A client's wish for a visit, as a form. */
import type { CommandArgs } from "../../domain/commands";
import { among } from "../../domain/schedule/waiting";
import type { Held } from "../../store";
import type { Day, Id } from "../../wire/types";

export type StopCode = CommandArgs["stop_waiting"]["code"];
export const STOP_CODES = ["booked_elsewhere", "no_longer", "other"] as const satisfies StopCode[];

export interface WishForm {
  /** Once it holds what is known, or what was refused. */
  begun: boolean;
  /** The version that it began with; null for the one that stands when it is saved. */
  seen: number | null;
  first: Day;
  /** Empty for any later day. */
  last: Day;
  times: CommandArgs["wait_for_visit"]["times"];
  minutes: number | null;
  /** Empty for anybody. */
  staff: Id;
  note: string;
  stop: StopCode | "";
}

export function blankWish(): WishForm {
  return {
    ...{
      begun: false,
      seen: null,
      first: "",
      last: "",
      times: [],
      minutes: null,
      staff: "",
      note: "",
    },
    stop: "",
  };
}

type Wish = Pick<
  CommandArgs["wait_for_visit"],
  "first" | "last" | "times" | "minutes" | "staff"
> & {
  note?: string | null | undefined;
};

export function wishForm(wish: Wish, seen: number | null): WishForm {
  const { first, last, times, minutes, staff, note } = wish;
  return {
    ...{ ...blankWish(), begun: true, seen, first, last: last ?? "", times: [...times], minutes },
    ...{ staff: staff ?? "", note: note ?? "" },
  };
}

/** What is missing or can't be, by the keys of its words. */
export function lackingWish({ first, last, minutes, times }: WishForm) {
  return [
    ...(first ? [] : (["waiting.first"] as const)),
    ...(last !== "" && last < first ? (["waiting.last"] as const) : []),
    ...(minutes === null ? (["booking.minutes"] as const) : []),
    ...(times.some(({ starts, ends }) => !starts || !ends || starts >= ends)
      ? (["waiting.times"] as const)
      : []),
  ];
}

/** The client's next visit where it lies among the days of a wish: they would not wait at all. */
export function bookedWithin(
  { first, last }: Pick<WishForm, "first" | "last">,
  days: readonly Day[],
): Day | undefined {
  return days.find((day) => among(day, { first, last: last || null }));
}

/** The entry of a client, which is used again. After two cards became one there may be two: the one that waits. */
export function entryOf(
  entries: readonly Held<"waiting">[],
  client: Id,
): Held<"waiting"> | undefined {
  const theirs = entries.filter(({ row }) => row.client === client);
  return theirs.find(({ row }) => row.state === "waiting") ?? theirs[0];
}

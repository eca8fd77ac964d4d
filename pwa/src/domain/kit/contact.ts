/** The contact times that run: instruments that lie in a disinfectant, by timestamps alone. */
import type { Id, Instant } from "../../wire/types";
import type { HeldRow } from "./kit";

export interface Contact {
  id: Id;
  began: Instant;
  /** By the label. */
  minutes: number;
  sets: number;
}

/** Those that one person began. One with a fault does not count however long it runs: nothing is waited for. */
export function contactsOf(
  loads: readonly HeldRow<"kit_load">[],
  staff: Id,
  device: Id | null,
): Contact[] {
  return loads.flatMap(({ id, row }) => {
    const { asked, ends, faults } = row;
    if (row.staff !== staff || ends.length + faults.length > 0) return [];
    if (asked?.celsius !== null) return [];
    return [{ id, began: beganAt(row, device), minutes: asked.minutes, sets: row.sets.length }];
  });
}

/** When it has been wet for as long as the label says. */
export function overAt({ began, minutes }: Pick<Contact, "began" | "minutes">): Instant {
  return new Date(Date.parse(began) + minutes * 60_000).toISOString();
}

/** 0 once it is over. */
export function secondsTo(over: Instant, now: Date): number {
  return Math.max(0, Math.ceil((Date.parse(over) - now.getTime()) / 1000));
}

/**
 * From when it is known to run: by the phone's own clock, also where that is ahead; of another phone's, from when the
 * server heard of it at the earliest.
 */
export function beganAt(
  {
    started_at,
    phone_at,
    heard_at,
    device: by,
  }: Pick<HeldRow<"kit_load">["row"], "started_at" | "phone_at" | "heard_at" | "device">,
  device: Id | null,
): Instant {
  if (by === device) return phone_at ?? started_at;
  if (heard_at === null) return started_at;
  return Date.parse(heard_at) > Date.parse(started_at) ? heard_at : started_at;
}

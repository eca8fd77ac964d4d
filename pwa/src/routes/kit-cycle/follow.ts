/** Buzzes once when a contact time is over, where somebody was looking while there was time left. */
import { type Contact, secondsTo } from "../../domain/kit/contact";
import { dwell, type Dwell } from "../../domain/dwell";
import { buzz, THRICE } from "../../parts/buzz";
import type { Instant } from "../../wire/types";

const waiting = new Set<Instant>();

/** A label says the least; nothing is too long. */
export function contactAt({ began, minutes }: Contact, now: Date): Dwell {
  return dwell(began, null, now, { least_minutes: minutes, most_minutes: Infinity });
}

/** `ends`: when each is over. */
export function follow(ends: readonly Instant[], now: Date): void {
  for (const over of ends) {
    if (secondsTo(over, now) > 0) waiting.add(over);
    else if (waiting.delete(over)) buzz(THRICE);
  }
}

/** Buzzes once when a contact time is over, where somebody was looking while there was time left. */
import type { Contact } from "../../domain/kit/contact";
import { dwell, type Dwell } from "../../domain/dwell";
import { buzz, THRICE } from "../../parts/buzz";

const waiting = new Set<string>();

/** A label says the least; nothing is too long. */
export function contactAt({ began, minutes }: Contact, now: Date): Dwell {
  return dwell(began, null, now, { least_minutes: minutes, most_minutes: Infinity });
}

export function follow(running: readonly Contact[], now: Date): void {
  for (const contact of running) {
    if (contactAt(contact, now).state === "under") waiting.add(contact.id);
    else if (waiting.delete(contact.id)) buzz(THRICE);
  }
}

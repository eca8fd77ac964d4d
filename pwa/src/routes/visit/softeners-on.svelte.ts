/** The softeners of the visits that are under way, so that every screen can show one that is still on. */
import { SvelteMap } from "svelte/reactivity";
import type { SoftenerUse } from "../../domain/commands";
import type { DwellBounds } from "../../domain/dwell";
import type { BookJson, MergedLimits } from "../../domain/screening";
import { store } from "../../store";
import type { VisitForm } from "./form";

const ofBooking = new SvelteMap<string, readonly SoftenerUse[]>();

export const softenersOn = {
  of(booking: string): readonly SoftenerUse[] {
    return (ofBooking.get(booking) ?? []).filter(({ removed_at }) => removed_at === null);
  },
  note(booking: string, softeners: readonly SoftenerUse[]): void {
    ofBooking.set(booking, softeners);
  },
  /** After a reload only the kept form knows of them. */
  async read(booking: string): Promise<void> {
    if (ofBooking.has(booking)) return;
    const kept = (await store.drafts.load(`visit/${booking}`)) as Partial<VisitForm> | null;
    if (!ofBooking.has(booking)) ofBooking.set(booking, kept?.softeners ?? []);
  },
  /** With the phone locked nothing of a visit stays in memory. */
  forget(): void {
    ofBooking.clear();
  },
};

export function softenerBounds(book: BookJson, limits: MergedLimits): DwellBounds {
  return {
    least_minutes: limits.softener_min_minutes ?? book.settings.urea_minutes_min,
    most_minutes: limits.softener_max_minutes ?? book.settings.urea_minutes_max,
  };
}

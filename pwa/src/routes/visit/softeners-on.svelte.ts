/** The softeners of the visits that are under way, so that every screen can show one that is still on. */
import { SvelteMap } from "svelte/reactivity";
import { get } from "svelte/store";
import type { SoftenerUse } from "../../domain/commands";
import type { DwellBounds } from "../../domain/dwell";
import type { BookJson, MergedLimits } from "../../domain/screening";
import { store } from "../../store";
import type { Instant } from "../../wire/types";
import type { VisitForm } from "./form";

const ofBooking = new SvelteMap<string, readonly SoftenerUse[]>();
const boundsOf = new SvelteMap<string, DwellBounds>();

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
  /** A covered phone reads no records, so it is told the bounds beforehand. */
  bound(booking: string, bounds: DwellBounds): void {
    boundsOf.set(booking, bounds);
  },
  running(): { placed_at: Instant; bounds: DwellBounds }[] {
    return [...boundsOf].flatMap(([booking, bounds]) =>
      softenersOn.of(booking).map(({ placed_at }) => ({ placed_at, bounds })),
    );
  },
  /** A covered phone goes on showing the time; with it locked nothing of a visit stays in memory. */
  forgetWhenLocked(): void {
    const { phase } = get(store.session);
    if (phase === "unlocked" || phase === "covered") return;
    ofBooking.clear();
    boundsOf.clear();
  },
};

export function softenerBounds(book: BookJson, limits: MergedLimits): DwellBounds {
  return {
    least_minutes: limits.softener_min_minutes ?? book.settings.urea_minutes_min,
    most_minutes: limits.softener_max_minutes ?? book.settings.urea_minutes_max,
  };
}

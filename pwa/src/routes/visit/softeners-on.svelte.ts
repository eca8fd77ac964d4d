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
/** How long one may stay on, and whether one may at all. */
interface Told {
  bounds: DwellBounds;
  barred: (use: SoftenerUse) => boolean;
}
const toldOf = new SvelteMap<string, Told>();

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
  /** A covered phone reads no records, so it is told beforehand. */
  tell(booking: string, told: Told): void {
    toldOf.set(booking, told);
  },
  running(): { placed_at: Instant; bounds: DwellBounds; barred: boolean }[] {
    return [...toldOf].flatMap(([booking, { bounds, barred }]) =>
      softenersOn.of(booking).map((use) => ({
        placed_at: use.placed_at,
        bounds,
        barred: barred(use),
      })),
    );
  },
  /** A covered phone goes on showing the time; with it locked nothing of a visit stays in memory. */
  forgetWhenLocked(): void {
    const { phase } = get(store.session);
    if (phase === "unlocked" || phase === "covered") return;
    ofBooking.clear();
    toldOf.clear();
  },
};

export function softenerBounds(book: BookJson, limits: MergedLimits): DwellBounds {
  return {
    least_minutes: limits.softener_min_minutes ?? book.settings.urea_minutes_min,
    most_minutes: limits.softener_max_minutes ?? book.settings.urea_minutes_max,
  };
}

/** What becomes of the aftercare and of the next visit where something went wrong. Check: common practice, no source. */
import { type DayOf, type Followed, followUp } from "./mishaps";
import type { BookJson } from "./screening";
import type { Day } from "../wire/types";

type AdviceBook = Pick<BookJson, "aftercare" | "mishaps" | "stop_signs">;
interface WentWrong {
  row: { kind: string };
}

/** Whether the visit may have hurt the skin: by what went wrong in it, or by a stop sign. */
export function hurtSkin(
  book: AdviceBook,
  wrong: readonly WentWrong[],
  stopSigns: readonly string[],
): boolean {
  const hurts = (entries: readonly { id: string; hurts_skin?: boolean }[], id: string) =>
    entries.find((entry) => entry.id === id)?.hurts_skin ?? false;
  return (
    stopSigns.some((sign) => hurts(book.stop_signs, sign)) ||
    wrong.some(({ row }) => hurts(book.mishaps ?? [], row.kind))
  );
}

/** Whether what is told fits skin that may be hurt. What a technician ticks besides is their choice. */
export function fitsHurtSkin(book: AdviceBook, told: readonly string[]): boolean {
  return toTell(book).every((id) => told.includes(id));
}

/** What to tell where the skin may be hurt: that first, and no advice that would touch the place. */
export function onHurtSkin(book: AdviceBook, told: readonly string[]): string[] {
  const first = toTell(book);
  const left = new Set(
    book.aftercare.filter((one) => one.on_hurt_skin === "not_ticked").map(({ id }) => id),
  );
  return [...first, ...told.filter((id) => !first.includes(id) && !left.has(id))];
}

function toTell({ aftercare }: AdviceBook): string[] {
  return aftercare.filter((one) => one.on_hurt_skin === "told").map(({ id }) => id);
}

/** The next visit is not set by the usual weeks then, but once the client has been asked after. */
export function nextIsOpen(
  book: AdviceBook,
  wrong: readonly WentWrong[],
  stopSigns: readonly string[],
): boolean {
  return wrong.length > 0 || hurtSkin(book, wrong, stopSigns);
}

/** The first day on which the client is asked after for what went wrong. */
export function askedAfter(wrong: readonly Followed[], dayOf: DayOf): Day | null {
  const days = wrong.map((one) => followUp(one, dayOf)).filter((day) => day !== null);
  return days.toSorted()[0] ?? null;
}

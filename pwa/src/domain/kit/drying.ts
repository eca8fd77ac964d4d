/** From when what came out of cycles may be taken as dry, by the least that the book says of their processes. */
import type { BookJson } from "../screening";
import { processOf } from "./asked";
import type { Cycle } from "./kit";

const MINUTE_MS = 60_000;

/** The latest of them. A machine may dry by itself before its cycle is told as ended: this can only remind. */
export function dryFrom(book: Pick<BookJson, "processes">, cycles: readonly Cycle[]): Date {
  const moments = cycles.map(({ row }) => {
    const dry = processOf(book, row.process)?.dry_minutes;
    const ended = Math.max(...row.ends.map(({ ended_at }) => Date.parse(ended_at)));
    return ended + (dry?.[0] ?? 0) * MINUTE_MS;
  });
  return new Date(Math.max(0, ...moments));
}

/** Where the bits that were used leave a surface to be finished. */
import type { BitUse } from "../../domain/commands";
import type { BookJson } from "../../domain/screening";

/** The places where a cutting bit was the last to touch the surface: diamond finishes them. */
export function unfinished(book: BookJson, uses: readonly BitUse[]): string[] {
  const last = new Map<string, boolean>();
  for (const use of uses) {
    const cutting = book.bits.find(({ id }) => id === use.family)?.cutting ?? false;
    for (const place of use.places) last.set(place, cutting);
  }
  return [...last].filter(([, cutting]) => cutting).map(([place]) => place);
}

/** What a cycle was done with, in the words of the book or of the product's card. */
import type { Kit } from "../../domain/kit/kit";
import type { BookJson } from "../../domain/screening";
import type { Id } from "../../wire/types";
import { bookWord } from "../../words/book";

export function doneWith(load: Id | null, kit: Kit, book: BookJson): string | null {
  const row = kit.cycles.find(({ id }) => id === load)?.row;
  if (row?.process) return bookWord(book, `process.${row.process}`);
  return kit.products.find(({ id }) => id === row?.product)?.card.name ?? null;
}

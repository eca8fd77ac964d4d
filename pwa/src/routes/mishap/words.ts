/** What went wrong, in words of the book; an id that this book does not have stays readable. */
import type { BookJson } from "../../domain/screening";
import { t } from "../../words";
import { optionalWord } from "../../words/book";

export function mishapWord(book: BookJson, kind: string): string {
  const unnamed = kind === "other" ? t("mishap.other") : kind.replaceAll("_", " ");
  return optionalWord(book, `mishap.${kind}`) ?? unnamed;
}

/** The rulebook's own words: questions, prompts, limits. They come with the book, not with the app. */
import type { BookJson } from "../domain/screening";
import { language } from "./index";

/** The book's word for a key. A key without a word is shown as it is, so that nothing is hidden. */
export function bookWord(book: BookJson, key: string): string {
  return optionalWord(book, key) ?? key;
}

export function optionalWord(book: BookJson, key: string): string | undefined {
  return book.words[language]?.[key] ?? book.words["en"]?.[key];
}

/** What was reported or seen, as a clinician reads it. A practice's own rule may have only its own words. */
export function reasonWord(book: BookJson, rule: string): string {
  return optionalWord(book, `reason.${rule}`) ?? optionalWord(book, `rule.${rule}`) ?? rule;
}

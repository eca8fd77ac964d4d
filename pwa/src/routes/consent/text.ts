/** The consent texts that are current in the book, and the hash that ties a signature to their exact words. */
import { PURPOSES } from "../../domain/consents";
import type { BookJson } from "../../domain/screening";
import type { ConsentText } from "../../parts/signing/text";
import { LANGUAGE_NAMES } from "../../words/signing";

/** One for each purpose, the work first. A book of before has the one for the work alone, without a title. */
export function currentTexts(book: BookJson, language: string): ConsentText[] {
  const words = book.words[language] ?? {};
  const current = book.consent_texts.filter((text) => text.current);
  return PURPOSES.flatMap((purpose) => {
    const text = current.find((one) => (one.purpose ?? "treatment") === purpose);
    const said = text && words[`consent.${text.id}`];
    if (text === undefined || said === undefined) return [];
    const title = words[`consent_title.${text.id}`] ?? "";
    return [{ id: text.id, version: text.version, purpose, title, words: said }];
  });
}

/** The languages in which every current text is there. */
export function languagesOf(book: BookJson): string[] {
  const all = currentTexts(book, "en").length;
  return Object.keys(LANGUAGE_NAMES).filter((one) => currentTexts(book, one).length === all);
}

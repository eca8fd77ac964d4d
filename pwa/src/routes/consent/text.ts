/** The consent texts that are current in the book, and the hash that ties a signature to their exact words. */
import { type Purpose, PURPOSES } from "../../domain/consents";
import type { BookJson } from "../../domain/screening";
import { LANGUAGE_NAMES } from "../../words/signing";

export interface ConsentText {
  id: string;
  purpose: Purpose;
  version: number;
  title: string;
  words: string;
}

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

interface Paragraph {
  lead: string;
  rest: string;
}

/** The signed words, unchanged: the first of several sentences leads its paragraph. */
export function paragraphsOf(words: string): Paragraph[] {
  return words
    .split(/\n+/)
    .filter((paragraph) => paragraph.trim() !== "")
    .map((paragraph) => {
      const lead = /^.*?[.!?:](?=\s)/.exec(paragraph)?.[0] ?? "";
      return { lead, rest: paragraph.slice(lead.length) };
    });
}

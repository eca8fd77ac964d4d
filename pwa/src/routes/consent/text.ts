/** The consent text that is current in the book, and the hash that ties a signature to its exact words. */
import type { BookJson } from "../../domain/screening";
import { bookWord } from "../../words/book";

export interface ConsentText {
  id: string;
  words: string;
}

export function consentText(book: BookJson): ConsentText | null {
  const current = book.consent_texts.find(
    (text) => text.current && (text.purpose ?? "treatment") === "treatment",
  );
  return current ? { id: current.id, words: bookWord(book, `consent.${current.id}`) } : null;
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

/** SHA-256 of the words in UTF-8, in hex. */
export async function hashOf(words: string): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(words));
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

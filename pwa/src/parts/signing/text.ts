/** A text that is put to whoever decides, and how its words are set. */
import type { Purpose } from "../../domain/consents";

export interface ConsentText {
  id: string;
  purpose: Purpose;
  version: number;
  title: string;
  words: string;
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

/** What whoever decides does with the phone in hand: the same on the technician's phone and on their own. */
import type { Presented } from "../../domain/commands";
import type { Purpose } from "../../domain/consents";
import type { ConsentText } from "./text";

export interface Answering {
  language: string;
  presented: Presented;
  signer_name: string;
  how: "drawn" | "mark" | "paper";
  /** A text that was not answered has none. */
  answers: Partial<Record<Purpose, boolean>>;
  /** Said to a no, where anything was. */
  said: string;
}

/** What a button at the end does; where it can fail, and in which words, is for whoever shows it. */
export interface Deed {
  label: string;
  icon?: "pen";
  disabled?: boolean;
  act: () => Promise<void>;
}

/** The first text without an answer; after the last one where each has one. */
export function firstOpen(texts: readonly ConsentText[], answers: Answering["answers"]): number {
  const open = texts.findIndex(({ purpose }) => answers[purpose] === undefined);
  return open === -1 ? texts.length : open;
}

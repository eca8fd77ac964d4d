/**
 * Words on screen: looks a message up in the catalogue and fills its values in.
 * Knows no screen, and nothing of the rulebook's own words (see book.ts).
 */
import { en } from "./en";
import { fill, type Values } from "./fill";

type Forms = { other: string } & Partial<Record<Intl.LDMLPluralRule, string>>;
type Message = string | Forms;

export type MessageKey = keyof typeof en;
/** What a language file must hold: every key of the English one. */
export type Catalogue = Record<MessageKey, Message>;

const catalogue: Catalogue = en;
export const language = "en";
const plural = new Intl.PluralRules(language);

export function t(key: MessageKey, values: Values = {}): string {
  return fill(form(catalogue[key], values), values);
}

function form(message: Message, values: Values): string {
  if (typeof message === "string") return message;
  return message[plural.select(Number(values["count"]))] ?? message.other;
}

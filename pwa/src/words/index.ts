/**
 * Words on screen: looks a message up in the catalogue and fills its values in.
 * Knows no screen, and nothing of the rulebook's own words (see book.ts).
 */
import { en } from "./en";

type Forms = { other: string } & Partial<Record<Intl.LDMLPluralRule, string>>;
type Message = string | Forms;

export type MessageKey = keyof typeof en;
/** What a language file must hold: every key of the English one. */
export type Catalogue = Record<MessageKey, Message>;
export type Values = Record<string, string | number>;

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

export function fill(text: string, values: Values): string {
  return text.replace(/\{(\w+)\}/g, (whole, name: string) => {
    const value = values[name];
    return value === undefined ? whole : String(value);
  });
}

/** The rules of the book in force, in words, by framework; and which of them some typed words mean. */
import type { Outcome } from "../../domain/findings";
import { type BookJson, ofPractice, type Rule } from "../../domain/screening";
import { t } from "../../words";
import { bookWord } from "../../words/book";
import { frameworkWord, referToWord, withinWord } from "../../words/named";
import { sourceWords } from "../outcome/source";

export type Origin = "book" | "place" | "practice";

export interface RuleEntry {
  id: string;
  framework: string;
  words: string;
  outcome: Outcome;
  limits: string[];
  /** To whom, and how soon; empty where nobody is referred. */
  referral: string;
  source: string;
  origin: Origin;
}

export interface Framework {
  id: string;
  name: string;
  rules: RuleEntry[];
}

export function entries(book: BookJson): RuleEntry[] {
  return book.rules.map((rule) => ({
    id: rule.id,
    framework: rule.group,
    words: bookWord(book, `rule.${rule.id}`),
    outcome: rule.outcome,
    limits: rule.limits.map((limit) => bookWord(book, `limit.${limit}`)),
    referral: referral(rule),
    source: sourceWords(rule.source, rule.basis),
    origin: originOf(book, rule.id),
  }));
}

/** Every typed word must stand somewhere in what is shown of the rule. */
export function find(rules: readonly RuleEntry[], typed: string): RuleEntry[] {
  const wanted = plain(typed).split(/\s+/).filter(Boolean);
  return rules.filter((rule) => {
    const there = plain(
      [
        rule.words,
        t(`outcome.${rule.outcome}`),
        ...rule.limits,
        rule.referral,
        rule.source,
        frameworkWord(rule.framework),
        t(`rules.origin.${rule.origin}`),
      ].join(" "),
    );
    return wanted.every((word) => there.includes(word));
  });
}

/** In the order of the book. */
export function byFramework(rules: readonly RuleEntry[]): Framework[] {
  const ids = [...new Set(rules.map(({ framework }) => framework))];
  return ids.map((id) => ({
    id,
    name: frameworkWord(id),
    rules: rules.filter(({ framework }) => framework === id),
  }));
}

function originOf(book: BookJson, id: string): Origin {
  if (ofPractice(id)) return "practice";
  return book.from_place?.includes(id) ? "place" : "book";
}

function referral({ refer_to, within }: Rule): string {
  if (refer_to === null || within === null) return "";
  return t("rules.referral", { to: referToWord(refer_to), within: withinWord(within) });
}

function plain(text: string): string {
  return text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
}

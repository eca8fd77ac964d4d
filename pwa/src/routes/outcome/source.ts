/** What a rule rests on, in one line: how well it is founded, and on what. */
import type { Rule } from "../../domain/screening";
import { t } from "../../words";

/** A source that names its basis has said it. */
export function sourceWords(source: string, basis: Rule["basis"]): string {
  const word = t(`basis.${basis}`);
  return source.toLowerCase().includes(word.toLowerCase())
    ? source
    : t("source.line", { basis: word, source });
}

/** A step of a set in words, with what it was done with. */
import type { Kit } from "../../domain/kit/kit";
import type { Step } from "../../domain/kit/standing";
import type { BookJson } from "../../domain/screening";
import { t } from "../../words";
import { bookWord } from "../../words/book";

export function stepWord(step: Step, kit: Kit, book: BookJson): string {
  if (step.what !== "cycle") return t(`kit_set.did.${step.what}`);
  const row = kit.cycles.find(({ id }) => id === step.load)?.row;
  const product = kit.products.find(({ id }) => id === row?.product)?.card.name;
  const by = row?.process ? bookWord(book, `process.${row.process}`) : product;
  return by === undefined ? t("kit_set.did.cycle") : t("kit_set.did_cycle_by", { by });
}

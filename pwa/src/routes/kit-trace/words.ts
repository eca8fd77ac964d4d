/** The kit in a trace, in words. */
import type { Cycle, Kit } from "../../domain/kit/kit";
import type { Traced } from "../../domain/kit/trace";
import type { BookJson } from "../../domain/screening";
import { t } from "../../words";
import { bookWord } from "../../words/book";
import { dayAndTime, labelCode, number } from "../../words/format";

/** In which machine it ran and how, or in what. */
export function cycleWord(book: BookJson, kit: Kit, { row }: Cycle): string {
  if (row.product === null) {
    const machine = kit.machines.find(({ id }) => id === row.machine);
    return t("kit_trace.in_machine", {
      machine: machine?.card.name ?? t("kit_trace.machine_gone"),
      process: bookWord(book, `process.${row.process}`),
    });
  }
  const product = kit.products.find(({ id }) => id === row.product);
  const mix = kit.rows.kit_solution.find(({ id }) => id === row.solution);
  return productWord(product?.card.name ?? t("kit_trace.product_gone"), mix?.row.mixed_at);
}

function productWord(product: string, mixed_at: string | undefined): string {
  if (mixed_at === undefined) return product;
  return t("kit_trace.mixed", { product, at: dayAndTime(mixed_at) });
}

/** What was used. */
export function usedWord({ row, set, lot, product, solution }: Traced): string {
  if (set) return t("kit_trace.labelled", { name: set.card.name, label: labelCode(set.label) });
  if (lot) {
    const items = t("kit_trace.items", { n: number(row.count, 0), name: lot.card.name });
    return lot.card.lot ? t("kit_trace.of_lot", { items, lot: lot.card.lot }) : items;
  }
  return product ? productWord(product.card.name, solution?.mixed_at) : t("kit_trace.thing_gone");
}

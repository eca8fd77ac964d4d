/** What came in later for a sale, and telling of more. */
import type { CommandArgs } from "../../domain/commands";
import { minorOf, moneyText } from "../../domain/money";
import { standing } from "../../domain/takings/told";
import type { Held } from "../../store";
import type { Day, Id } from "../../wire/types";
import type { Way } from "./form";

/** Those that nothing replaces and that were not taken back. */
export function cameIn(sale: Held<"sale">, payments: readonly Held<"payment">[]) {
  const told = payments
    .filter(({ row }) => row.sale === sale.id)
    .map((held) => ({ ...held.row, about: held.row.sale, id: held.id, held }));
  return standing(told).filter(({ amount }) => minorOf(amount, sale.row.currency) > 0);
}

/** `amount` is in whole minor units. */
export function paidLater(
  sale: Held<"sale">,
  payments: readonly Held<"payment">[],
  more: { payment: Id; amount: number; way: Way; day: Day },
): CommandArgs["record_payment"] {
  return {
    ...more,
    sale: sale.id,
    amount: moneyText(more.amount, sale.row.currency),
    beside: cameIn(sale, payments).map(({ id }) => id),
    replaces: [],
  };
}

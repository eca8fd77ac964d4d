/** A price in words: what, where, and from which day where that is said. */
import { minorOf } from "../../domain/money";
import type { RowOf } from "../../domain/rows";
import { t } from "../../words";
import { date, money } from "../../words/format";

type Price = RowOf<"price_item">["prices"][number];
type Houses = readonly { id: string; row: { name: string } }[];

export function priceWords(price: Price, facilities: Houses, dated = false): string {
  const named = facilities.find(({ id }) => id === price.facility)?.row.name;
  const facility = named ?? "";
  const day = date(price.starts);
  if (price.amount === null) return t("prices.no_own", { facility, day });
  const plain = money(minorOf(price.amount, price.currency), price.currency);
  const amount = price.tax === "0" ? plain : t("prices.tax", { amount: plain, rate: price.tax });
  if (price.facility === null) return dated ? t("prices.from", { amount, day }) : amount;
  return dated
    ? t("prices.at_from", { amount, facility, day })
    : t("prices.at", { amount, facility });
}

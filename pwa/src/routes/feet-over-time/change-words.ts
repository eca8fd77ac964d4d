/** How a crack has changed, in words: "2 mm deeper than on 3 March". */
import type { Change } from "../../domain/feet/change";
import { t } from "../../words";
import { dateOf, length } from "../../words/format";

export function changeWords({ of, by, since }: Change): string {
  const told = { by: length(Math.abs(by)), since: dateOf(since) };
  if (of === "depth")
    return by > 0 ? t("crack_chart.deeper", told) : t("crack_chart.shallower", told);
  return by > 0 ? t("crack_chart.longer", told) : t("crack_chart.shorter", told);
}

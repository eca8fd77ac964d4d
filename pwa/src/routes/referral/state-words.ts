/** Where a referral has got to, in words. */
import type { RowOf } from "../../domain/rows";
import { t } from "../../words";
import { named } from "../../words/named";

type Step = NonNullable<RowOf<"referral">["steps"]>[number];

export function stepWords({ what, how, to }: Step): string {
  const done = named("referral.what", what);
  const way = how === "" ? done : `${done}: ${named("referral.how", how)}`;
  return to === "" ? way : t("referral.step_to", { done: way, to });
}

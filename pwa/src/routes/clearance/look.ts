/** The sign, tone and words of each state of a clearance. */
import type { ClearanceState } from "../../domain/clearances";
import { daysBetween } from "../../domain/due";
import type { IconName } from "../../parts/icons";
import { t } from "../../words";
import { date } from "../../words/format";

interface Look {
  word: string;
  icon: IconName;
  tone: "go" | "limit" | "stop";
}

export function stateLook(
  { given_on, expires_on }: { given_on: string; expires_on: string },
  state: ClearanceState,
  day: string,
): Look {
  const at = date(expires_on);
  switch (state) {
    case "withdrawn":
      return { word: t("clearance.withdrawn"), icon: "stop", tone: "stop" };
    case "over":
      return { word: t("clearance.over", { at }), icon: "stop", tone: "stop" };
    case "later":
      return { word: t("clearance.from", { at: date(given_on) }), icon: "limit", tone: "limit" };
    case "ends_soon": {
      const count = daysBetween(day, expires_on);
      if (count === 0) {
        return { word: t("clearance.last_day", { at }), icon: "wait", tone: "limit" };
      }
      return { word: t("clearance.ends_soon", { count, at }), icon: "wait", tone: "limit" };
    }
    case "holds":
      return { word: t("clearance.stands", { at }), icon: "ok", tone: "go" };
  }
}

/** The limits that a bit or a softener goes past, each in one plain sentence. */
import { bitBreaches, softenerBreaches, type SoftenerBreach } from "../../domain/breaches";
import type { BitUse, SoftenerUse } from "../../domain/commands";
import type { BookJson, MergedLimits } from "../../domain/screening";
import { t } from "../../words";
import { number } from "../../words/format";

export function bitPassed(book: BookJson, limits: MergedLimits, use: BitUse): string[] {
  return bitBreaches(limits, book.bits, use).map((breach) =>
    breach === "too_fast" ? tooFast(limits, use) : t(`bits.${breach}`),
  );
}

function tooFast(limits: MergedLimits, use: BitUse): string {
  const rpm = limits.max_rpm[use.family];
  if (rpm !== undefined && use.rpm > rpm) return t("bits.too_fast", { rpm: number(rpm, 0) });
  return t("bits.surface_too_fast", { speed: number(limits.top_speed_m_s ?? 0, 2) });
}

/** One that is still on is not yet late to come off; its timer says how long it has been on. */
export function softenerPassed(limits: MergedLimits, use: SoftenerUse): string[] {
  const on = use.removed_at === null;
  return softenerBreaches(limits, use)
    .filter((breach) => !(on && breach === "softener_not_taken_off"))
    .map((breach) => softenerWord(limits, breach));
}

function softenerWord(limits: MergedLimits, breach: SoftenerBreach): string {
  if (breach === "softener_too_strong")
    return t("softener.too_strong", { percent: number(limits.softener_max_percent ?? 0) });
  if (breach === "softener_too_long")
    return t("softener.too_long", { minutes: number(limits.softener_max_minutes ?? 0) });
  if (breach === "area_to_leave_alone") return t("bits.area_to_leave_alone");
  if (breach === "softener_not_allowed") return t("limits.no_softener");
  return t(`breach.${breach}`);
}

/** The limits that a bit or a softener goes past, each in a few words: they stand in one line beside a button. */
import { bitBreaches, softenerBreaches, type SoftenerBreach } from "../../domain/breaches";
import type { BitUse, SoftenerUse } from "../../domain/commands";
import type { BookJson, MergedLimits } from "../../domain/screening";
import { surface_speed_m_s } from "../../domain/speed";
import { t } from "../../words";
import { number } from "../../words/format";

export function bitPassed(book: BookJson, limits: MergedLimits, use: BitUse): string[] {
  return bitBreaches(limits, book.bits, use).map((breach) =>
    breach === "too_fast" ? tooFast(limits, use) : t(`passed.${breach}`),
  );
}

function tooFast(limits: MergedLimits, use: BitUse): string {
  const rpm = limits.max_rpm[use.family];
  if (rpm !== undefined && use.rpm > rpm)
    return t("passed.turns", { rpm: number(use.rpm, 0), most: number(rpm, 0) });
  const speed = number(surface_speed_m_s(use.head_mm, use.rpm), 2);
  return t("passed.surface", { speed, most: number(limits.top_speed_m_s ?? 0, 2) });
}

/** One that is still on is not yet late to come off; its timer says how long it has been on. */
export function softenerPassed(limits: MergedLimits, use: SoftenerUse): string[] {
  const on = use.removed_at === null;
  return softenerBreaches(limits, use)
    .filter((breach) => !(on && breach === "softener_not_taken_off"))
    .map((breach) => softenerWord(limits, use, breach));
}

function softenerWord(limits: MergedLimits, use: SoftenerUse, breach: SoftenerBreach): string {
  if (breach === "softener_too_strong") {
    const most = number(limits.softener_max_percent ?? 0);
    return t("passed.strength", { percent: number(use.urea_percent), most });
  }
  if (breach === "softener_too_long")
    return t("passed.minutes", { most: number(limits.softener_max_minutes ?? 0) });
  return t(`passed.${breach}`);
}

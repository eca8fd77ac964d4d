/** The limits that bind a visit, one plain sentence each. */
import type { BookJson, MergedLimits } from "../../domain/screening";
import { t } from "../../words";
import { bookWord } from "../../words/book";
import { list, number } from "../../words/format";

export interface LimitLine {
  text: string;
  /** True for "do not", false for "you may". */
  forbids: boolean;
}

export function limitLines(book: BookJson, limits: MergedLimits): LimitLine[] {
  return [
    bits(book, limits),
    ...Object.entries(limits.max_rpm)
      .filter(([family]) => limits.bits_allowed?.includes(family) ?? true)
      .map(([family, rpm]) => ({
        text: t("limits.max_rpm", { bit: bookWord(book, `bit.${family}`), rpm: number(rpm, 0) }),
        forbids: false,
      })),
    ...flag(limits.no_bit_in_crack, t("limits.no_bit_in_crack")),
    ...flag(limits.no_blades, t("limits.no_blades")),
    softener(limits),
    ...limits.leave_alone.map((area) => ({
      text: t("limits.leave_alone", { area: bookWord(book, `area.${area}`) }),
      forbids: true,
    })),
  ];
}

function flag(on: boolean, text: string): LimitLine[] {
  return on ? [{ text, forbids: true }] : [];
}

function bits(book: BookJson, { bits_allowed: allowed }: MergedLimits): LimitLine {
  if (allowed === null) return { text: t("limits.any_bit"), forbids: false };
  if (allowed.length === 0) return { text: t("limits.no_bit"), forbids: true };
  const names = list(allowed.map((family) => bookWord(book, `bit.${family}`)));
  return { text: t("limits.only_bits", { bits: names }), forbids: false };
}

function softener(limits: MergedLimits): LimitLine {
  if (limits.softener === "none") return { text: t("limits.no_softener"), forbids: true };
  const percent = limits.softener_max_percent;
  return {
    text:
      percent === null
        ? t("limits.softener")
        : t("limits.softener_up_to", { percent: number(percent, 1) }),
    forbids: false,
  };
}

/** The limits that bind a visit, one plain sentence each. */
import { type BookJson, type MergedLimits, ofPractice } from "../../domain/screening";
import { t } from "../../words";
import { bookWord } from "../../words/book";
import { list, number } from "../../words/format";
import { sourceWords } from "./source";

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
    ...speed(book, limits),
    ...flag(limits.no_bit_in_crack, t("limits.no_bit_in_crack")),
    ...flag(limits.no_blades, t("limits.no_blades")),
    softener(limits),
    ...limits.leave_alone.map((area) => ({
      text: t("limits.leave_alone", { area: bookWord(book, `area.${area}`) }),
      forbids: true,
    })),
  ];
}

/** The speed of a head's surface that binds, and who has set it; null where none binds. */
export function speedLimit(book: BookJson, limits: MergedLimits): string | null {
  const most = limits.top_speed_m_s;
  const setBy = book.limits.filter((limit) => limit.top_speed_m_s === most);
  const first = setBy.find(({ id }) => !ofPractice(id)) ?? setBy[0];
  if (most === null || first === undefined) return null;
  const whose = ofPractice(first.id)
    ? t("limits.top_speed_own", { source: first.source })
    : sourceWords(first.source, first.basis);
  return t("limits.top_speed", { speed: number(most, 2), whose });
}

function speed(book: BookJson, limits: MergedLimits): LimitLine[] {
  const text = speedLimit(book, limits);
  return text === null ? [] : [{ text, forbids: false }];
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

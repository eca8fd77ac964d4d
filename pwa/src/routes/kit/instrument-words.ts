/** An instrument in one line, as the person who holds it knows it. */
import type { BookJson } from "../../domain/screening";
import { t } from "../../words";
import { bookWord } from "../../words/book";
import { length, number } from "../../words/format";
import type { Instrument } from "./form";

export function instrumentWords(book: BookJson, one: Instrument): string {
  const kind = bookWord(book, `instrument.${one.kind}`);
  const bit = one.family === null ? kind : bookWord(book, `bit.${one.family}`);
  const name = one.name.trim() === "" ? bit : `${one.name.trim()} (${bit})`;
  const told = [
    one.count > 1 ? t("kit_set.times", { name, n: number(one.count) }) : name,
    one.head_mm === null ? "" : t("kit_set.head_of", { size: length(one.head_mm) }),
    one.shank_mm === null ? "" : t("kit_set.shank_of", { size: shank(one.shank_mm) }),
    one.grit.trim() === "" ? "" : t("kit_set.grit_of", { grit: one.grit.trim() }),
    one.most_rpm === null ? "" : t("kit_set.most_rpm_of", { rpm: number(one.most_rpm) }),
  ];
  return told.filter(Boolean).join(", ");
}

/** Shanks are named in mm to two places everywhere. */
function shank(mm: number): string {
  return t("format.mm", { n: number(mm, 2) });
}

/** Where on the feet a bit or a softener went: the usual places, a crack, and what is to be left alone. */
import { IN_CRACK, leftAlone } from "../../domain/breaches";
import type { BookJson, MergedLimits } from "../../domain/screening";
import type { Choice } from "../../parts/choice";
import { t } from "../../words";
import { bookWord } from "../../words/book";
import { placeWord } from "../../words/named";

const PLACES = [
  "right_heel",
  "left_heel",
  "right_ball",
  "left_ball",
  "right_toes",
  "left_toes",
  "right_nails",
  "left_nails",
] as const;

export function placeName(book: BookJson, place: string): string {
  return book.areas.includes(place) ? bookWord(book, `area.${place}`) : placeWord(place);
}

/** What is to be left alone is on the list too: a report says what was done, not what should have been. */
export function placeChoices(book: BookJson, limits: Pick<MergedLimits, "leave_alone">): Choice[] {
  const plain = [...PLACES, IN_CRACK].map((id) => ({
    id,
    label: leftAlone(limits, id) ? t("place.leave_alone", { place: placeWord(id) }) : placeWord(id),
  }));
  const apart = limits.leave_alone.map((id) => ({
    id,
    label: t("place.leave_alone", { place: placeName(book, id) }),
  }));
  return [...plain, ...apart];
}

/** A position as a person reads it. */
import type { Position } from "../../domain/places/position";
import { t } from "../../words";

export function positionWords(position: Position | null | undefined): string {
  if (!position) return t("place.none");
  const at = t("place.at", { lat: position.lat.toFixed(5), lon: position.lon.toFixed(5) });
  const how = t(`place.source.${position.source}`);
  return position.accuracy_m === null
    ? t("place.line", { at, how })
    : t("place.line_about", { at, how, metres: position.accuracy_m });
}

/** A finding as it is put together on the foot map, and as it is said in words. */
import type { Finding } from "../../domain/findings";
import type { RowOf } from "../../domain/rows";
import type { Foot, View } from "../../parts/foot/regions";
import { t } from "../../words";
import { length } from "../../words/format";
import { findingWord, named, regionWord } from "../../words/named";

export function blankFinding(id: string, foot: Foot, view: View, region: string): Finding {
  return {
    id,
    foot,
    view,
    region,
    what: "",
    length_mm: null,
    depth_mm: null,
    state: null,
    bleeding: null,
    oozing: null,
    note: "",
    follows: null,
  };
}

export function placeWords({
  foot,
  view,
  region,
}: Pick<Finding, "foot" | "view" | "region">): string {
  return t("finding.place", {
    foot: t(`foot.${foot}`),
    view: t(`view.${view}`),
    region: regionWord(region),
  });
}

/** Of a photo that says no more than the side of which foot, or not even that. */
export function footWords({ foot, view }: Pick<RowOf<"photo">, "foot" | "view">): string {
  if (foot === "" || view === "") return t("photo.of_foot");
  return t("foot.drawing", { foot: named("foot", foot), view: named("view", view) });
}

/** What was seen, with its measures: "Crack, 12 mm long, 2 mm deep, closed". */
export function seenWords(finding: Finding): string {
  return [
    findingWord(finding.what),
    finding.length_mm === null ? "" : t("finding.long", { length: length(finding.length_mm) }),
    finding.depth_mm === null ? "" : t("finding.deep", { length: length(finding.depth_mm) }),
    finding.state === null ? "" : t(`finding.state.${finding.state}`),
    finding.bleeding === true ? t("finding.bleeding") : "",
    finding.oozing === true ? t("finding.oozing") : "",
    finding.note,
  ]
    .filter(Boolean)
    .join(", ");
}

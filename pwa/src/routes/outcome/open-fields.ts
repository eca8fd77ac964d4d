/** What was left open of the findings: each with its place and the field that nobody filled in. */
import type { Finding } from "../../domain/findings";
import type { Judgement } from "../../domain/screening";
import { t, type MessageKey } from "../../words";
import { findingWord } from "../../words/named";
import { placeWords } from "../foot-check/finding";

const FIELDS = [
  ["deepest_crack_mm", "depth_mm", "finding.depth"],
  ["crack_open", "state", "finding.open_or_closed"],
  ["crack_bleeding", "bleeding", "finding.is_bleeding"],
  ["crack_oozing", "oozing", "finding.is_oozing"],
] as const satisfies readonly [string, keyof Finding, MessageKey][];

export interface OpenField {
  finding: string;
  text: string;
}

export function openFields(
  { open }: Pick<Judgement, "open">,
  checks: readonly { findings: readonly Finding[] }[],
): OpenField[] {
  const wanted = new Set(open.flatMap(({ missing }) => missing));
  return checks
    .flatMap(({ findings }) => findings)
    .filter(({ what }) => what === "crack")
    .flatMap((finding) =>
      FIELDS.filter(([fact, field]) => wanted.has(fact) && finding[field] === null).map(
        ([, , word]) => ({ finding: finding.id, text: said(finding, word) }),
      ),
    );
}

function said(finding: Finding, word: MessageKey): string {
  const [what, place] = [findingWord(finding.what), placeWords(finding)];
  return t("open.field", { what, place, field: t(word) });
}

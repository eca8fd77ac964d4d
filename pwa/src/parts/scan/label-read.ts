/** What a person is told of a code that was read, or typed, where a label of the kit is meant. */
import { readLabel } from "../../domain/kit/labels";
import { t } from "../../words";

/** Whether the camera saw it, or somebody typed it. */
export type How = "seen" | "typed";

type LabelRead = { label: string; words?: undefined } | { label?: undefined; words: string };

/** The label, or why it is none. */
export function labelRead(text: string, how: How): LabelRead {
  const { label, problem } = readLabel(text);
  if (label !== undefined) return { label };
  return { words: how === "seen" ? t("label.something_else") : t(`label.wrong.${problem}`) };
}

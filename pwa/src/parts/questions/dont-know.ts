/** "Don't know" is an answer like any other, and is offered with every question. */
import { t } from "../../words";
import type { Choice } from "../choice";

export const DONT_KNOW = "dont_know";

export function dontKnowChoice(): Choice {
  return { id: DONT_KNOW, label: t("answer.dont_know") };
}

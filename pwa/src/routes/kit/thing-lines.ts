/** Products, lots and machines, each in a line with what speaks against using it. */
import { isOver } from "../../domain/kit/facts";
import { dueChecks } from "../../domain/kit/due-checks";
import type { Kit } from "../../domain/kit/kit";
import type { BookJson } from "../../domain/screening";
import type { IconName } from "../../parts/icons";
import type { Day, Id } from "../../wire/types";
import { t } from "../../words";
import { bookWord } from "../../words/book";
import { date, dayKey, number } from "../../words/format";
import { CHECK_LOOK } from "./check-look";
import type { Kind } from "./form";

interface Mark {
  /** What the word is about; empty where it is the thing itself. */
  of: string;
  word: string;
  icon: IconName;
  tone: "limit" | "stop" | "info";
}
export interface Line {
  id: Id;
  name: string;
  said: string;
  marks: Mark[];
}

export function linesOf(kit: Kit, book: BookJson, kind: Exclude<Kind, "set">, today: Day): Line[] {
  const over = (card: { expires_on: Day | null }): Mark[] =>
    isOver(card, today) ? [{ of: "", word: t("kit_lot.over"), icon: "stop", tone: "stop" }] : [];
  if (kind === "lot")
    return kit.lots.map(({ id, card, left }) => ({
      ...{ id, name: card.name, marks: left > 0 ? over(card) : [] },
      said: [
        t("kit_lot.left", { count: left, n: number(left) }),
        card.expires_on === null ? "" : t("kit_lot.until", { day: date(card.expires_on) }),
      ]
        .filter(Boolean)
        .join(", "),
    }));
  if (kind === "product")
    return kit.products.map(({ id, card }) => ({
      ...{ id, name: card.name, marks: over(card) },
      said: t("kit_thing.stays_wet", { n: number(card.contact_minutes) }),
    }));
  return kit.machines.map((machine) => ({
    ...{ id: machine.id, name: machine.card.name },
    said: bookWord(book, `machine.${machine.card.machine}`),
    marks: dueChecks(book.machine_checks ?? [], machine, kit.rows.machine_check, today, dayKey)
      .filter((due) => due.state !== "in_time")
      .map((due): Mark => {
        const { icon, tone } = CHECK_LOOK[due.state];
        const of = bookWord(book, `machine_check.${due.check.id}`);
        const word = t(`kit_thing.check.${due.state}`);
        return { of, word, icon, tone: tone === "go" ? "info" : tone };
      }),
  }));
}

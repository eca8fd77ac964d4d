/**
 * What records of the last hours asked a clearance for. Answering otherwise, or looking again, takes no such need
 * back. `intake/asked_before.py` does alike.
 */
import type { BookJson } from "../../domain/screening";
import type { Held } from "../../store";
import { judgeRecords } from "./judge-together";

export interface LastHours {
  /** Those of the last hours, slips aside, and which of them count. */
  screens: readonly Held<"health_screen">[];
  checks: readonly Held<"foot_check">[];
  counting: ReadonlySet<string>;
}

/** The rules, by what each record came to by itself. What counts is judged together in any case. */
export function askedBefore(
  book: BookJson,
  { screens, checks, counting }: LastHours,
  age: number,
): string[] {
  const alone = screens
    .filter(({ id }) => !counting.has(id))
    .map(({ row }) => judgeRecords(book, row, null, age));
  const looked = checks
    .filter(({ id, row }) => !counting.has(id) || !counting.has(row.screen ?? ""))
    .map(({ row }) => {
      const screen = screens.find(({ id }) => id === row.screen);
      return judgeRecords(book, screen?.row ?? { answers: {} }, row, age);
    });
  const asking = [...alone, ...looked].flatMap((judged) => judged?.fired ?? []);
  return [
    ...new Set(asking.filter(({ outcome }) => outcome === "needs_clearance").map(({ id }) => id)),
  ];
}

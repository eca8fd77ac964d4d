/**
 * What records of the last hours asked a clearance for, each by itself and every two together. Answering otherwise, or
 * looking again, takes no such need back; nor does a rule that is narrowed since. `intake/asked_before.py` does alike.
 */
import { refers } from "../../domain/findings";
import { answersOf, refersOn } from "../../domain/referrals";
import type { BookJson, Judgement } from "../../domain/screening";
import { releasedBy } from "../../domain/verdicts";
import type { Held } from "../../store";
import { judgeRecords } from "./judge-together";

const HOUR_MS = 3_600_000;
/** Of a book that does not say. */
const STAYS_HOURS = 24;

export interface Said {
  /** All there are, slips aside, and which of them count. */
  screens: readonly Held<"health_screen">[];
  checks: readonly Held<"foot_check">[];
  counting: ReadonlySet<string>;
  /** Those that speak. */
  referrals: readonly Held<"referral">[];
}

interface Reading {
  /** The record whose own reading it is; null of two that were not made together. */
  own: string | null;
  /** When the first of its records was made: one that came after a yes speaks for itself. */
  at: number;
  /** By this phone's book. */
  judged: Judgement | null;
  /** By the server, when it came; not told of what has not been sent, nor by older servers. */
  asks?: readonly string[] | undefined;
}

/** The rules; without what a clinician has said yes to since. What counts is judged together in any case. */
export function askedBefore(book: BookJson, said: Said, age: number, now: Date): string[] {
  // Where only a clearance is asked for, nothing less settles it.
  const referred = said.referrals.filter(refersOn).map(({ id, row }) => ({
    made: row.check ?? row.screen ?? id,
    yes: releasedBy(answersOf(row)),
    rules: row.reasons,
  }));
  const released = referred.flatMap(({ yes, ...each }) =>
    yes === null ? [] : [{ ...each, at: Date.parse(yes.written_at ?? yes.recorded_at) }],
  );
  /** By a rule that has been made stricter since: it referred nobody then. */
  const onlyAsked = (own: string | null, rule: string) =>
    own !== null && !referred.some(({ made, rules }) => made === own || rules.includes(rule));
  const judgedNow = ({ own, judged }: Reading) =>
    (judged?.fired ?? [])
      .filter(
        ({ id, outcome }) =>
          outcome === "needs_clearance" || (refers(outcome) && onlyAsked(own, id)),
      )
      .map(({ id }) => id);
  const asked = readings(book, said, age, now).flatMap((reading) => {
    const { own, at, asks } = reading;
    return (asks ?? judgedNow(reading)).filter(
      (rule) =>
        !released.some((yes) => (own === yes.made || yes.rules.includes(rule)) && yes.at >= at),
    );
  });
  return [...new Set(asked)];
}

function readings(book: BookJson, said: Said, age: number, now: Date): Reading[] {
  const oldest = now.getTime() - (book.settings.need_stays_hours ?? STAYS_HOURS) * HOUR_MS;
  const recent = said.screens.filter(({ row }) => Date.parse(row.screened_at) >= oldest);
  const looked = said.checks.filter(({ row }) => Date.parse(row.checked_at) >= oldest);
  const alone = recent
    .filter(({ id, row }) => row.asks !== undefined || !said.counting.has(id))
    .map(({ id, row }) => {
      const { asks } = row;
      const judged = asks ? null : judgeRecords(book, row, null, age);
      return { own: id, at: Date.parse(row.screened_at), judged, asks };
    });
  const together = looked.flatMap((check) => {
    const named = said.screens.find(({ id }) => id === check.row.screen) ?? null;
    const beside = [named, ...recent.filter((screen) => screen !== named)];
    return beside
      .filter(
        (screen) =>
          isOwn(screen, check) ||
          !(said.counting.has(check.id) && said.counting.has(screen?.id ?? "")),
      )
      .map((screen) => pair(book, screen, check, age));
  });
  return [...alone, ...together];
}

/** What the server made of a check holds for it with the screen that it names, unless that was a slip. */
function isOwn(screen: Held<"health_screen"> | null, check: Held<"foot_check">): boolean {
  return check.row.asks !== undefined && (screen?.id ?? null) === check.row.screen;
}

function pair(
  book: BookJson,
  screen: Held<"health_screen"> | null,
  check: Held<"foot_check">,
  age: number,
): Reading {
  const own = (screen?.id ?? check.row.screen) === check.row.screen ? check.id : null;
  const asks = isOwn(screen, check) ? check.row.asks : undefined;
  // What was said in a screen is said anew by the check that names it.
  const times = [check.row.checked_at, ...(screen && own === null ? [screen.row.screened_at] : [])];
  return {
    own,
    at: Math.min(...times.map((at) => Date.parse(at))),
    judged: asks ? null : judgeRecords(book, screen?.row ?? { answers: {} }, check.row, age),
    asks,
  };
}

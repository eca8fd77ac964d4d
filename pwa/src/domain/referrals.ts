/** Which referrals still wait for a clinician's answer, and which of them to ask after first. */
import type { Day, Id, Instant } from "../wire/types";
import { coveredSince } from "./clearances";
import { holds, type Outcome, refers, weight } from "./findings";
import { type AnswerFact, isNo } from "./verdicts";

interface Answered {
  answers?: readonly Answer[];
  answered_on: Day | null;
  answer_recorded_at: Instant | null;
  answer: string;
  clinician: string;
  clinician_role: string;
}

interface Referral {
  id: Id;
  row: Answered & {
    client: Id;
    level: Outcome;
    made_at: Instant;
    entered_in_error: boolean;
    reasons: readonly string[];
    asks?: readonly string[];
    steps?: readonly { what: string; note: string }[];
  };
}

interface Clearance {
  row: { client: Id } & Parameters<typeof coveredSince>[0][number];
}

export interface Answer extends AnswerFact {
  answer: string;
  clinician: string;
  clinician_role: string;
}

/** The first first. A row that came before there were verdicts tells of one answer, which lets the client go. */
export function answersOf(row: Answered): readonly Answer[] {
  if (row.answers) return row.answers;
  if (row.answer_recorded_at === null) return [];
  const { answered_on, answer_recorded_at: recorded_at, clinician, clinician_role, answer } = row;
  const said = { clinician, clinician_role, answer, verdict: "may" };
  return [{ ...said, recorded_at, answered_on: answered_on ?? recorded_at.slice(0, 10) }];
}

/** Whether a referral counts: one that was made by a slip does only where a clinician has said no to it. */
export function speaks(row: Referral["row"], slip = row.entered_in_error): boolean {
  return !slip || answersOf(row).some(isNo);
}

/** The most urgent first; of equal ones the oldest. `dayOf` is in the practice's zone. */
export function waitingReferrals<R extends Referral>(
  referrals: readonly R[],
  clearances: readonly Clearance[],
  dayOf: (at: Instant) => Day,
): R[] {
  return referrals
    .filter(({ row }) => row.answer_recorded_at === null && speaks(row))
    .filter((one) => refersOn(one) || !settled(one, referrals, clearances, dayOf))
    .sort(
      (one, other) =>
        weight(other.row.level) - weight(one.row.level) ||
        Date.parse(one.row.made_at) - Date.parse(other.row.made_at),
    );
}

/** What `askedNoMore` needs of what the records come to. */
interface Judged {
  held: boolean;
  fired: readonly { id: string; outcome: Outcome }[];
  open: readonly { id: string; outcome: Outcome }[];
}

/**
 * Whether a letter asked only by rules that a later look may settle, and what counts now is known not to ask by any of
 * them. Until the server has said what a letter asks, only where nothing of the last hours asks for a clearance. A
 * clinician's no is settled by another answer alone. The twin is `_settled` in `intake/facts.py`.
 */
export function askedNoMore(
  row: Referral["row"],
  judged: Judged | null,
  settledLater: ReadonlySet<string>,
): boolean {
  if (refersOn({ row }) || answersOf(row).some(isNo) || judged === null || judged.held)
    return false;
  const now = [...judged.fired, ...judged.open];
  const { asks = [] } = row;
  if (asks.length === 0) {
    return !now.some(({ outcome }) => holds(outcome));
  }
  const ids = new Set(now.map(({ id }) => id));
  return asks.every((rule) => settledLater.has(rule) && !ids.has(rule));
}

/** Whether somebody must see the client first. Otherwise a letter only asks for a clearance. */
export function refersOn({ row }: { row: { level: Outcome } }): boolean {
  return refers(row.level);
}

/**
 * A letter that only asks for a clearance waits no longer once one covers what it asks, a newer one tells the same,
 * or somebody called it off and said why; where a clinician has said no, only an answer settles it. What it asks is
 * known once the server has it: until then any clearance will do here, and the outcome says what is missing.
 */
function settled(
  one: Referral,
  referrals: readonly Referral[],
  clearances: readonly Clearance[],
  dayOf: (at: Instant) => Day,
): boolean {
  const { client, made_at, asks = [], steps = [] } = one.row;
  if (answersOf(one.row).some(isNo)) return false;
  if (steps.some(({ what, note }) => what === "called_off" && note !== "")) return true;
  const own = clearances.filter(({ row }) => row.client === client).map(({ row }) => row);
  const covered = coveredSince(own, made_at, dayOf(made_at));
  if (covered.size > 0 && asks.every((rule) => covered.has(rule))) return true;
  return referrals.some(
    ({ row }) =>
      row.client === client &&
      Date.parse(row.made_at) > Date.parse(made_at) &&
      speaks(row) &&
      asks.every((rule) => row.reasons.includes(rule)),
  );
}

/**
 * What a referral letter says, worked out on the phone from the records that made the referral,
 * so that it can be read and printed with no signal.
 */
import { lastLooked } from "../../domain/feet/carried";
import type { Answers, Finding, Outcome } from "../../domain/findings";
import type { BookJson, FiredRule } from "../../domain/screening";
import type { Held } from "../../store";
import type { ClientFile } from "../client/file";
import { judgeTogether } from "../client/judge-together";

export interface Letter {
  made_at: string;
  level: Outcome;
  /** Empty where it is not known. */
  refer_to: string;
  within: string;
  /** All that says more than "go"; the reasons are those that stop the work or need a clinician's word. */
  fired: readonly FiredRule[];
  reasons: readonly FiredRule[];
  /** Null where the health questions are not on record with this. */
  screen: { answers: Answers; answered_by: string; answered_by_name: string } | null;
  /** Null where the feet were not looked at. */
  check: { answers: Answers; findings: readonly Finding[] } | null;
  /** By its id, when a finding that nobody looked for again was last looked at; null where that is not known. */
  last_looked: ReadonlyMap<string, string | null>;
}

export function letterOf(
  book: BookJson,
  referral: Held<"referral">,
  file: ClientFile,
  screens: readonly Held<"health_screen">[],
  checks: readonly Held<"foot_check">[],
): Letter {
  const { row } = referral;
  const check = checks.find((held) => held.id === row.check) ?? null;
  const asked = check ? check.row.screen : row.screen;
  const screen = screens.find((held) => held.id === asked) ?? null;
  const judgement = judged(book, file, screen, check);
  const told = new Set(row.reasons);
  // What the server found is known once it has had the record; until then, what this phone finds.
  const found = told.size > 0 ? firedOf(book, told) : (judgement?.fired ?? []);
  const fired = found.filter(({ outcome }) => outcome !== "go");
  return {
    made_at: row.made_at,
    level: row.level,
    refer_to: row.refer_to || (judgement?.referral?.refer_to ?? ""),
    within: row.within || (judgement?.referral?.within ?? ""),
    fired,
    reasons: reasonsOf(fired),
    screen: screen?.row ?? null,
    check: check?.row ?? null,
    last_looked: lastLookedAt(file, checks, check),
  };
}

function lastLookedAt(
  file: ClientFile,
  checks: readonly Held<"foot_check">[],
  check: Held<"foot_check"> | null,
): ReadonlyMap<string, string | null> {
  const looks = checks.filter(({ row }) => row.client === file.id).map(({ row }) => row);
  const carried = check?.row.findings.filter(({ looked }) => looked === false) ?? [];
  return new Map(carried.map((finding) => [finding.id, lastLooked(looks, finding)]));
}

/** Until the server has said to whom and how soon, a referral says what its letter says. */
export function asItsLetter(
  referral: Held<"referral">,
  book: BookJson | null,
  file: ClientFile | null | undefined,
  screens: readonly Held<"health_screen">[],
  checks: readonly Held<"foot_check">[],
): Held<"referral"> {
  if (referral.row.within !== "" || !book || !file) return referral;
  const { refer_to, within } = letterOf(book, referral, file, screens, checks);
  return { ...referral, row: { ...referral.row, refer_to, within } };
}

const REASONS: readonly Outcome[] = ["needs_clearance", "refer_first", "emergency"];

/** The rules that stop the work or need a clinician's word. */
export function reasonsOf(fired: readonly FiredRule[]): FiredRule[] {
  return fired.filter(({ outcome }) => REASONS.includes(outcome));
}

function firedOf(book: BookJson, told: ReadonlySet<string>): FiredRule[] {
  return book.rules.filter(({ id }) => told.has(id));
}

/** With all that counts beside them now, as the file is judged, where they still count themselves. */
function judged(
  book: BookJson,
  file: ClientFile,
  screen: Held<"health_screen"> | null,
  check: Held<"foot_check"> | null,
) {
  const counts = check ? has(file.checks, check) : screen !== null && has(file.screens, screen);
  const beside = counts ? file.screens.filter((each) => each.id !== screen?.id) : [];
  // Feet that refer on by themselves are kept also where their screen is not.
  const own = screen ? [screen.row] : check && beside.length === 0 ? [{ answers: {} }] : [];
  const screens = [...own, ...beside.map(({ row }) => row)];
  return judgeTogether(book, screens, check ? [check.row] : [], file.age);
}

function has(held: readonly { id: string }[], one: { id: string }): boolean {
  return held.some(({ id }) => id === one.id);
}

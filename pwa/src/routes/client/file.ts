/**
 * Everything about one client that the screens of a visit need, put together from the phone's rows:
 * the newest records that stand, what the rulebook makes of them, and whether work may start.
 */
import { away } from "../../domain/absent";
import type { Answers } from "../../domain/findings";
import { type BookJson, join, type Judgement } from "../../domain/screening";
import { inForce, narrowed } from "../../domain/clearances";
import { answersOf, askedNoMore, speaks, waitingReferrals } from "../../domain/referrals";
import { standing, type Standing } from "../../domain/standing";
import { standTogether, stillKnown } from "../../domain/together";
import type { ConsentState, Purpose } from "../../domain/consents";
import type { RowKind } from "../../domain/rows";
import type { Held } from "../../store";
import { dayKey } from "../../words/format";
import { ageOn } from "./age";
import { askedBefore } from "./asked-before";
import { byTime } from "../../domain/by-time";
import {
  type AnyConsent,
  consentsOf,
  consentStates,
  type Decided,
  decidedOf,
  withEnds,
} from "./decided";
import { judgeTogether } from "./judge-together";

export type FileKind = Exclude<
  RowKind,
  | "practice"
  | "device"
  | "staff"
  | "facility"
  | "incident"
  | "photo"
  | "not_ready"
  | "resident_state"
  | "round"
  | "waiting"
  | "working_week"
  | "base"
  | "time_off"
  | "calendar_link"
  | "kit_thing"
  | "kit_load"
  | "kit_solution"
  | "kit_use"
  | "machine_check"
  | "checklist"
  | "vehicle"
  | "travel_day"
  | "price_item"
  | "sale"
  | "sold_to"
  | "payment"
  | "invoice"
  | "bag_change"
  | "watch"
  | "paper"
>;
export type FileRows = { [K in FileKind]: readonly Held<K>[] };

export interface ClientFile {
  id: string;
  /** The day it was put together, in the practice's zone. */
  day: string;
  /** The moment it was put together. */
  at: string;
  client: Held<"client">;
  age: number;
  /** The screens that count, the newest first: more than one where two people asked unknown to each other. */
  screens: readonly Held<"health_screen">[];
  screen: Held<"health_screen"> | null;
  /** Every screen there is, slips too, the newest first. */
  all_screens: readonly Held<"health_screen">[];
  /** What a screen that begins now has seen. */
  known_screens: readonly string[];
  /** The foot checks that count, the newest first: likewise. */
  checks: readonly Held<"foot_check">[];
  check: Held<"foot_check"> | null;
  /** What a foot check that begins now has seen. */
  known_checks: readonly string[];
  /** What holds now, purpose by purpose. */
  consents: Record<Purpose, ConsentState>;
  /** On what that rests, purpose by purpose. */
  decided: Record<Purpose, Decided>;
  /** The consents to the work that stand, newest first. */
  agreed: readonly AnyConsent[];
  /** The consent to the work that ended last, where none stands. */
  taken_back: AnyConsent | null;
  /** The links to sign on the client's own phone, the newest first. */
  offers: readonly Held<"signing_offer">[];
  referrals: readonly Held<"referral">[];
  /** Those that wait for a clinician's word, the most urgent first. */
  waiting: readonly Held<"referral">[];
  /** Letters whose need a later look has settled, so that they wait no longer. */
  unasked: readonly Held<"referral">[];
  clearances: readonly Held<"clearance">[];
  /** The clearances that hold now. */
  cleared: readonly Held<"clearance">[];
  bookings: readonly Held<"booking">[];
  visits: readonly Held<"visit">[];
  /** What went wrong, the newest first. */
  mishaps: readonly Held<"mishap">[];
  /** The rules by which only records that do not count any more asked for a clearance, in the last hours. */
  asked_before: readonly string[];
  /** What the records come to, with the limits of the clearances that hold. */
  judgement: Judgement | null;
  standing: Standing;
}

export interface Moment {
  at: Date;
  /** The date of `at` in the practice's zone. */
  day: string;
}

export function clientFile(
  book: BookJson,
  rows: FileRows,
  id: string,
  now: Moment,
): ClientFile | null {
  const client = rows.client.find((held) => held.id === id);
  if (!client) return null;
  const age = ageOn(client.row.born, now.day);
  const hours = book.settings.screen_valid_hours;
  const asked = thatCount(of(rows.health_screen, id), ({ row }) => row.screened_at, now.at, hours);
  const looked = thatCount(of(rows.foot_check, id), ({ row }) => row.checked_at, now.at, hours);
  const [screens, checks] = [asked.counting, looked.counting];
  const slips = new Set(
    [...of(rows.health_screen, id), ...of(rows.foot_check, id)]
      .filter((held) => !stands(held))
      .map((held) => held.id),
  );
  const referrals = of(rows.referral, id).filter(({ row }) =>
    speaks(row, row.entered_in_error || slips.has(row.check ?? row.screen ?? "")),
  );
  const before = askedBefore(
    book,
    {
      screens: of(rows.health_screen, id).filter(stands),
      checks: of(rows.foot_check, id).filter(stands),
      counting: new Set([...screens, ...checks].map((held) => held.id)),
      referrals,
    },
    age,
    now.at,
  );
  const counted = judgeTogether(book, rowsOf(screens), rowsOf(checks), age);
  const judged = counted && join(book, [counted], before);
  const unanswered = waitingReferrals(referrals, of(rows.clearance, id), dayKey);
  const later = new Set(book.rules.flatMap((rule) => (rule.settled_later ? [rule.id] : [])));
  const unasked = unanswered.filter(({ row }) => askedNoMore(row, judged, later));
  const said = [...of(rows.consent, id), ...of(rows.consent_choice, id)];
  const consents = withEnds(said);
  const cleared = clearedOf(of(rows.clearance, id), now);
  const file = {
    id,
    day: now.day,
    at: now.at.toISOString(),
    client,
    age,
    screens,
    screen: screens[0] ?? null,
    all_screens: of(rows.health_screen, id)
      .toSorted(byTime(({ row }) => row.screened_at))
      .toReversed(),
    known_screens: asked.known,
    checks,
    check: checks[0] ?? null,
    known_checks: looked.known,
    consents: consentStates(said, now.at),
    decided: decidedOf(said, now.at),
    ...consentsOf(consents),
    offers: of(rows.signing_offer, id)
      .toSorted(byTime(({ row }) => row.offered_at))
      .toReversed(),
    referrals,
    waiting: unanswered.filter((letter) => !unasked.includes(letter)),
    unasked,
    clearances: of(rows.clearance, id),
    bookings: of(rows.booking, id).toSorted(byTime(({ row }) => row.starts_at)),
    visits: of(rows.visit, id)
      .toSorted(byTime(({ row }) => row.started_at))
      .toReversed(),
    mishaps: of(rows.mishap, id)
      .toSorted(byTime(({ row }) => row.happened_at))
      .toReversed(),
    judgement: within(judged, cleared),
    asked_before: (judged?.fired ?? [])
      .map((rule) => rule.id)
      .filter((rule) => !counted?.fired.some((one) => one.id === rule)),
    cleared,
  };
  const found = standingOf(book, file, consents, now);
  // Nobody starts a visit with a client who is away, whatever the records say.
  return { ...file, standing: { ...found, may_start: found.may_start && !away(client) } };
}

/** Those by which the client is judged now. */
export function recordsOf({ screens, checks }: ClientFile): { answers: Answers }[] {
  return [...rowsOf(screens), ...rowsOf(checks)];
}

/** The records of one kind that stand together, the newest first, and what one that begins now has seen. */
export function thatCount<H extends Held<"health_screen"> | Held<"foot_check">>(
  held: readonly H[],
  when: (held: H) => string,
  now: Date,
  hours: number,
): { counting: H[]; known: string[] } {
  const facts = held.map((one) => ({
    id: one.id,
    at: when(one),
    seen: one.row.seen ?? [],
    slip: one.row.entered_in_error,
  }));
  const counting = standTogether(facts, hours).flatMap(
    (id) => held.find((one) => one.id === id) ?? [],
  );
  return { counting, known: stillKnown(facts, now, hours) };
}

function rowsOf<R>(held: readonly { row: R }[]): R[] {
  return held.map(({ row }) => row);
}

function clearedOf(given: readonly Held<"clearance">[], { at, day }: Moment): Held<"clearance">[] {
  const held = new Set(inForce(rowsOf(given), at.toISOString(), day));
  return given.filter(({ row }) => held.has(row));
}

function within(
  judgement: Judgement | null,
  cleared: readonly Held<"clearance">[],
): Judgement | null {
  return judgement && { ...judgement, limits: narrowed(judgement.limits, rowsOf(cleared)) };
}

function standingOf(
  book: BookJson,
  file: Omit<ClientFile, "standing">,
  consents: readonly AnyConsent[],
  { at, day }: Moment,
): Standing {
  return standing({
    at: at.toISOString(),
    day,
    valid_hours: book.settings.screen_valid_hours,
    decides_for_self: file.client.row.decides_for_self,
    screened_at: file.screen?.row.screened_at ?? null,
    checked_at: file.check?.row.checked_at ?? null,
    judgement: file.judgement,
    referrals: file.referrals.map(({ row }) => ({ level: row.level, answers: answersOf(row) })),
    clearances: file.clearances.map(({ row }) => ({
      ...row,
      withdrawn_at: row.withdrawn_at ?? null,
    })),
    consents: consents.map(({ row }) => ({
      by_representative: row.signer_role === "representative",
      signed_at: row.signed_at,
      withdrawn_at: row.withdrawn_at,
    })),
  });
}

function stands({ row }: { row: { entered_in_error: boolean } }): boolean {
  return !row.entered_in_error;
}

function of<H extends { row: { client: string } }>(held: readonly H[], client: string): H[] {
  return held.filter(({ row }) => row.client === client);
}

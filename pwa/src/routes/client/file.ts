/**
 * Everything about one client that the screens of a visit need, put together from the phone's rows:
 * the newest records that stand, what the rulebook makes of them, and whether work may start.
 */
import { away } from "../../domain/absent";
import type { BookJson, Judgement } from "../../domain/screening";
import { inForce, narrowed } from "../../domain/clearances";
import { answersOf, speaks } from "../../domain/referrals";
import { standing, type Standing } from "../../domain/standing";
import { standTogether, stillKnown } from "../../domain/together";
import {
  type ConsentState,
  type Decision,
  endsAt,
  type Purpose,
  stateOf,
} from "../../domain/consents";
import type { RowKind, RowOf } from "../../domain/rows";
import type { Held } from "../../store";
import { ageOn } from "./age";
import { judgeTogether } from "./judge-together";

export type FileKind = Exclude<
  RowKind,
  "practice" | "device" | "staff" | "facility" | "incident" | "photo" | "signing_offer"
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
  referrals: readonly Held<"referral">[];
  clearances: readonly Held<"clearance">[];
  /** The clearances that hold now. */
  cleared: readonly Held<"clearance">[];
  bookings: readonly Held<"booking">[];
  visits: readonly Held<"visit">[];
  /** What went wrong, the newest first. */
  mishaps: readonly Held<"mishap">[];
  /** What the records come to, with the limits of the clearances that hold. */
  judgement: Judgement | null;
  standing: Standing;
}

/** What the two kinds of consent rows have in common. */
export interface AnyConsent {
  id: string;
  pending: boolean;
  row: RowOf<"consent">;
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
    referrals: of(rows.referral, id).filter(({ id: made, row }) =>
      speaks(row, row.entered_in_error || slips.has(made)),
    ),
    clearances: of(rows.clearance, id),
    bookings: of(rows.booking, id).toSorted(byTime(({ row }) => row.starts_at)),
    visits: of(rows.visit, id)
      .toSorted(byTime(({ row }) => row.started_at))
      .toReversed(),
    mishaps: of(rows.mishap, id)
      .toSorted(byTime(({ row }) => row.happened_at))
      .toReversed(),
    judgement: within(judgeTogether(book, rowsOf(screens), rowsOf(checks), age), cleared),
    cleared,
  };
  const found = standingOf(book, file, consents, now);
  // Nobody starts a visit with a client who is away, whatever the records say.
  return { ...file, standing: { ...found, may_start: found.may_start && !away(client) } };
}

/** The records of one kind that stand together, the newest first, and what one that begins now has seen. */
function thatCount<H extends Held<"health_screen"> | Held<"foot_check">>(
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

function decisionOf({ row }: AnyConsent): Decision {
  return { agreed: row.agreed ?? true, at: row.signed_at, withdrawn_at: row.withdrawn_at };
}

function ofPurpose(said: readonly AnyConsent[], purpose: Purpose): AnyConsent[] {
  // A yes by a client who could not decide is on record, and holds for nothing.
  return said.filter(({ row }) => (row.purpose ?? "treatment") === purpose && (row.counts ?? true));
}

function consentStates(said: readonly AnyConsent[], at: Date): ClientFile["consents"] {
  const state = (purpose: Purpose) => stateOf(ofPurpose(said, purpose).map(decisionOf), at);
  return {
    treatment: state("treatment"),
    photos: state("photos"),
    sharing: state("sharing"),
    messages: state("messages"),
  };
}

/** What a state rests on: each yes that stands, and the decision that was made or taken back last. */
export interface Decided {
  standing: readonly AnyConsent[];
  last: AnyConsent | null;
}

function decidedOf(said: readonly AnyConsent[], at: Date): ClientFile["decided"] {
  const one = (purpose: Purpose): Decided => {
    const all = ofPurpose(said, purpose);
    const decisions = all.map(decisionOf);
    const holds = (held: AnyConsent) => stateOf([decisionOf(held)], at) === "agreed";
    const standing = all.filter(
      (held) => holds(held) && endsAt(decisionOf(held), decisions) === null,
    );
    const last = newest(standing.length > 0 ? standing : all, ({ row }) =>
      standing.length > 0 ? row.signed_at : (row.withdrawn_at ?? row.signed_at),
    );
    return { standing, last };
  };
  return {
    treatment: one("treatment"),
    photos: one("photos"),
    sharing: one("sharing"),
    messages: one("messages"),
  };
}

/** Every yes to the work, with its end where a no came later. */
function withEnds(said: readonly AnyConsent[]): AnyConsent[] {
  const work = ofPurpose(said, "treatment");
  const decisions = work.map(decisionOf);
  return work
    .filter((held) => held.row.agreed ?? true)
    .map((held) => ({
      ...held,
      row: { ...held.row, withdrawn_at: endsAt(decisionOf(held), decisions) },
    }));
}

function consentsOf(consents: readonly AnyConsent[]): Pick<ClientFile, "agreed" | "taken_back"> {
  const agreed = consents
    .filter(({ row }) => row.withdrawn_at === null)
    .toSorted(byTime(({ row }) => row.signed_at))
    .toReversed();
  const last = newest(consents, ({ row }) => row.withdrawn_at ?? row.signed_at);
  return { agreed, taken_back: agreed.length === 0 ? last : null };
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

function byTime<H>(when: (held: H) => string) {
  return (a: H, b: H) => Date.parse(when(a)) - Date.parse(when(b));
}

function newest<H>(held: readonly H[], when: (held: H) => string): H | null {
  return held.toSorted(byTime(when)).at(-1) ?? null;
}

/**
 * Everything about one client that the screens of a visit need, put together from the phone's rows:
 * the newest records that stand, what the rulebook makes of them, and whether work may start.
 */
import { away } from "../../domain/absent";
import { InvalidAnswers, join, judge, type BookJson, type Judgement } from "../../domain/screening";
import { standTogether, stillKnown } from "../../domain/screens";
import type { Answers } from "../../domain/findings";
import { standing, type Standing } from "../../domain/standing";
import type { RowKind } from "../../domain/rows";
import type { Held } from "../../store";
import { ageOn } from "./age";

export type FileKind = Exclude<RowKind, "practice" | "device" | "staff" | "facility" | "incident">;
export type FileRows = { [K in FileKind]: readonly Held<K>[] };

export interface ClientFile {
  id: string;
  /** The day it was put together, in the practice's zone. */
  day: string;
  client: Held<"client">;
  age: number;
  /** The screens that count, the newest first: more than one where two people asked unknown to each other. */
  screens: readonly Held<"health_screen">[];
  screen: Held<"health_screen"> | null;
  /** What a screen that begins now has seen. */
  known_screens: readonly string[];
  check: Held<"foot_check"> | null;
  /** The consents that stand, newest first. */
  agreed: readonly Held<"consent">[];
  /** The consent that was taken back last, where none stands. */
  taken_back: Held<"consent"> | null;
  referrals: readonly Held<"referral">[];
  clearances: readonly Held<"clearance">[];
  bookings: readonly Held<"booking">[];
  visits: readonly Held<"visit">[];
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
  const asked = screensOf(book, of(rows.health_screen, id), now.at);
  const check = newestThatStands(of(rows.foot_check, id), ({ row }) => row.checked_at);
  const slips = new Set(
    [...of(rows.health_screen, id), ...of(rows.foot_check, id)]
      .filter((held) => !stands(held))
      .map((held) => held.id),
  );
  const judgement = judgeTogether(book, asked.screens, check, age);
  const file = {
    id,
    day: now.day,
    client,
    age,
    ...asked,
    check,
    ...consentsOf(of(rows.consent, id)),
    referrals: of(rows.referral, id).filter(
      ({ id: made, row }) => !row.entered_in_error && !slips.has(made),
    ),
    clearances: of(rows.clearance, id),
    bookings: of(rows.booking, id).toSorted(byTime(({ row }) => row.starts_at)),
    visits: of(rows.visit, id)
      .toSorted(byTime(({ row }) => row.started_at))
      .toReversed(),
    judgement,
  };
  const found = standingOf(book, file, of(rows.consent, id), now);
  // Nobody starts a visit with a client who is away, whatever the records say.
  return { ...file, standing: { ...found, may_start: found.may_start && !away(client) } };
}

function screensOf(
  book: BookJson,
  held: readonly Held<"health_screen">[],
  now: Date,
): Pick<ClientFile, "screens" | "screen" | "known_screens"> {
  const hours = book.settings.screen_valid_hours;
  const facts = held.map(({ id, row }) => ({
    id,
    at: row.screened_at,
    seen: row.seen ?? [],
    slip: row.entered_in_error,
  }));
  const screens = standTogether(facts, hours).flatMap(
    (one) => held.find(({ id }) => id === one) ?? [],
  );
  const known_screens = stillKnown(facts, now, hours);
  return { screens, screen: screens[0] ?? null, known_screens };
}

function consentsOf(
  consents: readonly Held<"consent">[],
): Pick<ClientFile, "agreed" | "taken_back"> {
  const agreed = consents
    .filter(({ row }) => row.withdrawn_at === null)
    .toSorted(byTime(({ row }) => row.signed_at))
    .toReversed();
  const last = newest(consents, ({ row }) => row.withdrawn_at ?? row.signed_at);
  return { agreed, taken_back: agreed.length === 0 ? last : null };
}

/** Of more screens that stand together the newest are judged; the client is held until asked again. */
const MOST_TOGETHER = 8;

/** The worse of what each screen comes to with the foot check. */
function judgeTogether(
  book: BookJson,
  screens: readonly Held<"health_screen">[],
  check: Held<"foot_check"> | null,
  age: number,
): Judgement | null {
  const [first, ...others] = screens
    .slice(0, MOST_TOGETHER)
    .flatMap(({ row }) => judgeRecords(book, row, check?.row ?? null, age) ?? []);
  if (first === undefined) return null;
  const joined = join(book, [first, ...others]);
  return { ...joined, held: joined.held || others.length + 1 < screens.length };
}

export function judgeRecords(
  book: BookJson,
  screen: { answers: Answers },
  check: Pick<Held<"foot_check">["row"], "answers" | "findings"> | null,
  age: number,
): Judgement | null {
  const part = new Map(
    book.groups.flatMap((group) => group.questions.map(({ id }) => [id, group.part])),
  );
  // Neither can take back what the other says: each answers its own questions alone.
  const of = (answers: Answers, wanted: string) =>
    Object.entries(answers).filter(([id]) => part.get(id) === wanted);
  const answers = Object.fromEntries([
    ...of(screen.answers, "health"),
    ...of(check?.answers ?? {}, "foot"),
  ]);
  try {
    return judge(book, answers, check?.findings ?? [], age);
  } catch (error) {
    // Asked by another edition than the phone has now: the questions are open again.
    if (error instanceof InvalidAnswers) return null;
    throw error;
  }
}

function standingOf(
  book: BookJson,
  file: Omit<ClientFile, "standing">,
  consents: readonly Held<"consent">[],
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
    referrals: file.referrals.map(({ row }) => ({
      level: row.level,
      answered_at: row.answer_recorded_at,
    })),
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

/** Null where the newest was entered in error: it must then be done again. */
function newestThatStands<H extends { row: { entered_in_error: boolean } }>(
  held: readonly H[],
  when: (held: H) => string,
): H | null {
  const last = newest(held, when);
  return last !== null && stands(last) ? last : null;
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

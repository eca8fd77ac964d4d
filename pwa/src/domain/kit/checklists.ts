/** Which lines a checklist has where, when it was signed last, and which lists are due. */
import type { Id, Instant } from "../../wire/types";
import { newest } from "../by-time";
import type { RowOf } from "../rows";
import type { ChecklistItem } from "../screening/book";

export type Occasion = ChecklistItem["occasion"];
export type Where = "home" | "facility";
export type Told = "done" | "not_done" | "not_needed";

export const OCCASIONS = [
  "before_leaving",
  "on_arrival",
  "between_clients",
  "on_leaving",
  "end_of_day",
  "weekly",
] as const satisfies Occasion[];

const WEEK_MS = 7 * 24 * 60 * 60 * 1000;
/** The book's lines at which hands are cleaned, and so may be timed. */
const HANDS = ["hands_before", "hands_between", "hands_after"];
/** Those at which something stays wet for the time on a label. */
const WET = ["surfaces_between", "handpiece_between", "surfaces_wiped"];

export function itemsFor(
  items: readonly ChecklistItem[],
  occasion: Occasion,
  where: Where | null,
): ChecklistItem[] {
  return items.filter(
    (item) => item.occasion === occasion && (item.only_in === null || item.only_in === where),
  );
}

/** The places for which the list has lines; both where it must be asked which one it is. */
export function placesOf(items: readonly ChecklistItem[], occasion: Occasion): Where[] {
  const ofList = items.filter((item) => item.occasion === occasion);
  if (ofList.every(({ only_in }) => only_in === null)) return [];
  return (["home", "facility"] as const).filter(
    (where) => itemsFor(items, occasion, where).length > 0,
  );
}

export function cleansHands({ id }: ChecklistItem): boolean {
  return HANDS.includes(id);
}

export function staysWet({ id }: ChecklistItem): boolean {
  return WET.includes(id);
}

/** The lines that one tap may tick together: of what is just done, those that nobody has told of yet. */
export function tickedTogether(
  items: readonly ChecklistItem[],
  told: Readonly<Record<string, Told>>,
): ChecklistItem[] {
  return items.filter(({ id, just_done }) => just_done === true && told[id] === undefined);
}

type Signed = Pick<RowOf<"checklist">, "occasion" | "signed_at" | "staff">;

export function lastSigned<S extends Signed>(
  signed: readonly S[],
  occasion: Occasion,
): S | undefined {
  const those = signed.filter((each) => each.occasion === occasion);
  return newest(those, ({ signed_at }) => signed_at) ?? undefined;
}

/** How far this person's bookings of the day have come. */
export interface DayOfVisits {
  begun: number;
  over: number;
  all: number;
}

interface Given {
  signed: readonly Signed[];
  me: Id;
  visits: DayOfVisits;
  now: Date;
  dayOf: (at: Instant | Date) => string;
}

/** Those of the day are one's own; the week's is the practice's. */
export function dueChecklists({ signed, me, visits, now, dayOf }: Given): Occasion[] {
  const mine = (occasion: Occasion) =>
    signed.some(
      (each) =>
        each.occasion === occasion && each.staff === me && dayOf(each.signed_at) === dayOf(now),
    );
  const weekly = lastSigned(signed, "weekly");
  const due: [Occasion, boolean][] = [
    ["before_leaving", visits.all > 0 && visits.begun === 0 && !mine("before_leaving")],
    ["end_of_day", visits.all > 0 && visits.over === visits.all && !mine("end_of_day")],
    ["weekly", weekly === undefined || now.getTime() - Date.parse(weekly.signed_at) > WEEK_MS],
  ];
  return due.filter(([, so]) => so).map(([occasion]) => occasion);
}

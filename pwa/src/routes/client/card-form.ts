/** The client card as a form: blank values, and which fields were changed. */
import type { ClientCard } from "../../domain/commands";
import { samePosition } from "../../domain/places/position";

export interface CardForm {
  card: ClientCard;
  /** The card as it was when the form began, and its version; null for a new client. */
  began: { card: ClientCard; seen: number } | null;
  /** What a refused change said, to be looked at again beside what the card says now. */
  again: Partial<ClientCard>;
}

export function blankForm(): CardForm {
  return { card: blankCard(), began: null, again: {} };
}

export const CARD_FIELDS = [
  "name",
  "born",
  "address",
  "position",
  "phone",
  "email",
  "facility",
  "room",
  "corridor",
  "see_last",
  "contact_name",
  "contact_phone",
  "contact_role",
  "decides_for_self",
  "note",
  "entry_note",
  "status",
  "status_since",
  "visit_times",
  "preferred_staff",
  "may_wait",
  "needs_skills",
] as const satisfies readonly (keyof ClientCard)[];

export function blankCard(): ClientCard {
  return {
    name: "",
    born: "",
    address: "",
    position: null,
    phone: "",
    email: "",
    facility: null,
    room: "",
    corridor: "",
    see_last: false,
    contact_name: "",
    contact_phone: "",
    contact_role: "",
    decides_for_self: true,
    note: "",
    entry_note: "",
    status: "active",
    status_since: null,
    visit_times: [],
    preferred_staff: null,
    may_wait: false,
    needs_skills: [],
  };
}

export function changesOf(before: ClientCard, after: ClientCard): Partial<ClientCard> {
  return Object.fromEntries(
    CARD_FIELDS.filter((field) => !same(field, before, after)).map((field) => [
      field,
      after[field],
    ]),
  );
}

function same(
  field: keyof ClientCard,
  one: Partial<ClientCard>,
  other: Partial<ClientCard>,
): boolean {
  return field === "position"
    ? samePosition(one.position, other.position)
    : JSON.stringify(one[field]) === JSON.stringify(other[field]);
}

/** The card's own fields of a row, without what the phone may keep beside them. */
export function cardOf(row: ClientCard): ClientCard {
  return { ...blankCard(), ...pick(row) };
}

// A row from before the app was updated does not have every field.
function pick(row: ClientCard): Partial<ClientCard> {
  const given = CARD_FIELDS.filter((field) => row[field] !== undefined);
  return Object.fromEntries(given.map((field) => [field, row[field]]));
}

/** Where a refused change of a card and the card as it is now say different things. */
export function clashing(
  wrote: Partial<ClientCard>,
  now: ClientCard,
): (typeof CARD_FIELDS)[number][] {
  return CARD_FIELDS.filter((field) => field in wrote && !same(field, wrote, now));
}

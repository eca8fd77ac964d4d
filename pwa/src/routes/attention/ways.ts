/** For each refusal: what it means in words, and what a person may choose. Choosing is theirs alone. */
import type { CommandName } from "../../domain/commands";
import type { MessageKey } from "../../words";

/**
 * keep_mine: send the change again, over the card as it is now. other_time and use_again: back to the form,
 * with all that was typed. open_*: look first. let_it_be: the other one stands. put_aside: off the list.
 */
export type Choice =
  | "keep_mine"
  | "other_time"
  | "use_again"
  | "open_booking"
  | "open_client"
  | "open_thing"
  | "keep_theirs"
  | "let_it_be"
  | "put_aside";

export interface Way {
  /** Null where the server's own words say it best. */
  words: MessageKey | null;
  choices: readonly Choice[];
}

const PLAIN: Way = { words: null, choices: ["use_again", "put_aside"] };

const WAYS: Readonly<Record<string, Way>> = {
  double_booked: { words: "refused.double_booked", choices: ["other_time", "let_it_be"] },
  day_off: { words: null, choices: ["other_time", "let_it_be"] },
  outside_hours: { words: null, choices: ["other_time", "let_it_be"] },
  in_break: { words: null, choices: ["other_time", "let_it_be"] },
  short_travel: { words: null, choices: ["other_time", "let_it_be"] },
  too_late: { words: null, choices: ["other_time", "let_it_be"] },
  client_not_free: { words: null, choices: ["other_time", "let_it_be"] },
  client_away: { words: "refused.client_away", choices: ["open_client", "use_again", "put_aside"] },
  booking_closed: {
    words: "refused.booking_closed",
    choices: ["open_booking", "open_client", "put_aside"],
  },
  changed_elsewhere: {
    words: "refused.booking_changed",
    choices: ["use_again", "open_booking", "let_it_be"],
  },
  not_newest: { words: "refused.not_newest", choices: ["open_client", "use_again", "put_aside"] },
  not_found: { words: "refused.not_found", choices: ["use_again", "put_aside"] },
  removed: { words: "refused.not_found", choices: ["use_again", "put_aside"] },
  begun_by_another: { words: "refused.begun_by_another", choices: ["open_client", "put_aside"] },
  id_taken: { words: "refused.id_taken", choices: ["open_client", "put_aside"] },
  device_revoked: { words: "refused.device_revoked", choices: ["use_again", "put_aside"] },
  own_word: { words: "refused.own_word", choices: ["use_again", "put_aside"] },
  not_allowed: { words: "refused.not_allowed", choices: ["put_aside"] },
  field_not_allowed: { words: "refused.not_allowed", choices: ["use_again", "put_aside"] },
  merged_already: { words: "refused.merged_already", choices: ["open_client", "put_aside"] },
  same_client: { words: "refused.merged_already", choices: ["open_client", "put_aside"] },
  closed_already: { words: "refused.done_already", choices: ["put_aside"] },
  marked_already: { words: "refused.done_already", choices: ["put_aside"] },
  added_since: { words: "refused.added_since", choices: ["use_again", "put_aside"] },
  unknown_command: { words: "refused.unknown_command", choices: ["put_aside"] },
};

/** Of the kit there is no booking and no client to open, but the thing it is about. */
const OF_THING: Readonly<Record<string, Way>> = {
  label_taken: { words: "refused.label_taken", choices: ["open_thing", "use_again", "put_aside"] },
  changed_elsewhere: {
    words: "refused.thing_changed",
    choices: ["use_again", "open_thing", "let_it_be"],
  },
};
const ABOUT_THING: readonly CommandName[] = ["register_thing", "amend_thing"];
/** What happened to a set or a lot is told on its own screen, again if need be. */
const TOLD_OF_THING: readonly CommandName[] = ["move_set", "change_stock"];

/** Which of the reasons it was, the server's words say. */
const SET_NOT_GIVEN: Way = { words: null, choices: ["open_thing", "open_client", "put_aside"] };
const CARD_CLASH: Way = { words: "refused.card_changed", choices: ["keep_mine", "keep_theirs"] };

const AS_TYPED: readonly CommandName[] = ["amend_vehicle", "set_price_item", "wait_for_visit"];
const USE_AGAIN: Way = { words: null, choices: ["use_again", "put_aside"] };
const HOUSE_CLASH: Way = { words: "refused.house_changed", choices: ["use_again", "put_aside"] };

/** The list shows how it stands now. */
const LIST_CLASH: Way = { words: null, choices: ["put_aside"] };

/** A code of a later server has the server's words, and all that was typed beside them. */
export function wayOut(name: CommandName, code: string): Way {
  if (code === "changed_elsewhere" && name === "amend_client") return CARD_CLASH;
  if (code === "changed_elsewhere" && name === "amend_facility") return HOUSE_CLASH;
  if (code === "changed_elsewhere" && AS_TYPED.includes(name)) return USE_AGAIN;
  if (name === "stop_waiting") return LIST_CLASH;
  if (name === "give_set" && !Object.hasOwn(WAYS, code)) return SET_NOT_GIVEN;
  if (ABOUT_THING.includes(name) && Object.hasOwn(OF_THING, code)) return OF_THING[code] ?? PLAIN;
  const { words, choices } = plainWay(code);
  if (TOLD_OF_THING.includes(name)) return { words, choices: ["open_thing", "put_aside"] };
  return { words, choices };
}

function plainWay(code: string): Way {
  return Object.hasOwn(WAYS, code) ? (WAYS[code] ?? PLAIN) : PLAIN;
}

/** Choices that take the entry off the list, so that they ask once more. */
export const ENDS = ["keep_theirs", "let_it_be", "put_aside"] as const satisfies Choice[];
export type End = (typeof ENDS)[number];

export function ends(choice: Choice): choice is End {
  return ENDS.some((each) => each === choice);
}

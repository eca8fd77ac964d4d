/** What the technician sets down before the phone is handed over, and what is answered with it in hand. */
import type { CommandArgs, SignerRole } from "../../domain/commands";
import type { ConsentState, Purpose } from "../../domain/consents";
import type { Answering } from "../../parts/signing/answering";
import type { MessageKey } from "../../words";

type Sheet = CommandArgs["record_consent_sheet"];
export type Ground = Exclude<Sheet["ground"], "">;
export type PlaceKind = Sheet["place_kind"];
export const CAPACITY = ["understands", "keeps", "weighs", "says"] as const;
export type Found = Partial<Record<(typeof CAPACITY)[number], boolean | "dont_know">>;

export interface ConsentForm extends Answering {
  /** The purposes to ask for; null until somebody has chosen. */
  purposes: Purpose[] | null;
  signer_role: SignerRole;
  ground: Ground | "";
  authority: string;
  capacity: Found;
  witness: string;
  own_wish: boolean;
  place_kind: PlaceKind | "";
  place: string;
  paper_photo: string | null;
  /** The link that was made of it for the client's own phone; its secret is here alone, and sealed. */
  link: { offer: string; token: string } | null;
}

export function blankConsent(): ConsentForm {
  return {
    purposes: null,
    language: "en",
    signer_role: "client",
    signer_name: "",
    ground: "",
    authority: "",
    capacity: {},
    how: "drawn",
    witness: "",
    presented: "read_self",
    own_wish: false,
    place_kind: "",
    place: "",
    answers: {},
    said: "",
    paper_photo: null,
    link: null,
  };
}

/** What is asked for unless the technician chooses otherwise: all on which there is no word yet, and the work. */
export function toAsk(states: Record<Purpose, ConsentState>, inHouse: boolean): Purpose[] {
  const wanted = (purpose: Purpose) => {
    if (purpose === "treatment") return states.treatment !== "agreed";
    return states[purpose] === "none" && (purpose !== "sharing" || inHouse);
  };
  const open = (Object.keys(states) as Purpose[]).filter(wanted);
  return open.length > 0 ? open : ["treatment"];
}

export function isUnsure(form: ConsentForm): boolean {
  return CAPACITY.some((one) => form.capacity[one] === false || form.capacity[one] === "dont_know");
}

/** What the technician must still set down, as the fields are called. */
export function missing(form: ConsentForm): MessageKey[] {
  const gaps: [MessageKey, boolean][] = [
    ["consent.ask_for", form.purposes?.length === 0],
    ["consent.signer_name", form.signer_name.trim() === ""],
    ...(form.signer_role === "client" ? [lacksCapacity(form)] : lacksGround(form)),
    ["consent.witness", form.how === "mark" && form.witness.trim() === ""],
    ["consent.place", form.place_kind === "other" && form.place.trim() === ""],
  ];
  return gaps.flatMap(([field, lacking]) => (lacking ? [field] : []));
}

/** The client signs only where the technician found all four. */
function lacksCapacity(form: ConsentForm): [MessageKey, boolean] {
  const field = isUnsure(form) ? "consent.missing_decider" : "consent.missing_capacity";
  return [field, CAPACITY.some((one) => form.capacity[one] !== true)];
}

/** Somebody else signs where it is said by what right. */
function lacksGround({ ground, authority }: ConsentForm): [MessageKey, boolean][] {
  return [
    ["consent.authority", ground === ""],
    ["consent.authority_words", ground === "other" && authority.trim() === ""],
  ];
}

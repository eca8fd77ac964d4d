/** What the technician sets down before the phone is handed over, and what is answered with it in hand. */
import type { CommandArgs, SignerRole } from "../../domain/commands";
import type { ConsentState, Purpose } from "../../domain/consents";
import type { Answering } from "../../parts/signing/answering";

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

/** The client signs only where the technician found all four; somebody else where it is said by what right. */
export function mayDecide(form: ConsentForm): boolean {
  if (form.signer_role === "client") return CAPACITY.every((one) => form.capacity[one] === true);
  return form.ground !== "" && (form.ground !== "other" || form.authority.trim() !== "");
}

export function isUnsure(form: ConsentForm): boolean {
  return CAPACITY.some((one) => form.capacity[one] === false || form.capacity[one] === "dont_know");
}

export function ready(form: ConsentForm): boolean {
  const seen = form.how !== "mark" || form.witness.trim() !== "";
  const placed = form.place_kind !== "other" || form.place.trim() !== "";
  return (
    form.signer_name.trim() !== "" &&
    mayDecide(form) &&
    seen &&
    placed &&
    (form.purposes?.length ?? 1) > 0
  );
}

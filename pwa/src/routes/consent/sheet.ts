/** The command that a sitting becomes. */
import type { CommandArgs, StrokePoint } from "../../domain/commands";
import { sha256, shownSha256 } from "../../domain/shown";
import type { ConsentText } from "../../parts/signing/text";
import { CAPACITY, type ConsentForm } from "./form";

export interface Sitting {
  client: string;
  in_house: boolean;
  /** Those that were put to the client, in the order shown. */
  texts: readonly ConsentText[];
  strokes: StrokePoint[][];
  new_id: () => string;
  at: string;
}

/** `signed` is false where the signer did not want to sign: then all that is told is a no. */
export async function sheetOf(
  form: ConsentForm,
  { client, in_house, texts, strokes, new_id, at }: Sitting,
  signed: boolean,
): Promise<CommandArgs["record_consent_sheet"]> {
  const signer = signerOf(form);
  const { language, presented } = form;
  const answered = texts.map((text) => ({
    ...text,
    agreed: signed && form.answers[text.purpose] === true,
  }));
  const decisions = answered.map(async (text) => ({
    ...(await textOf(text, new_id)),
    agreed: text.agreed,
  }));
  return {
    sheet: new_id(),
    client,
    language,
    decisions: await Promise.all(decisions),
    ...signer,
    ...foundOf(form, in_house),
    how: signed ? form.how : "unsigned",
    strokes: signed ? strokes : [],
    paper_photo: signed && form.how === "paper" ? form.paper_photo : null,
    presented,
    said: form.said.trim(),
    device_kind: "technician_phone",
    shown_sha256: await shownSha256({ language, presented, ...signer, texts: answered }),
    decided_at: at,
  };
}

/** Of the link that offers the same sitting on the client's own phone. Its secret stays here. */
export interface Offering extends Omit<Sitting, "strokes"> {
  offer: string;
  token: string;
}

/** Not for a paper: that is signed by hand. */
export async function offerOf(
  form: ConsentForm,
  { client, in_house, texts, new_id, at, offer, token }: Offering,
): Promise<CommandArgs["offer_signing"]> {
  return {
    offer,
    client,
    token_sha256: await sha256(token),
    sheet: new_id(),
    texts: await Promise.all(texts.map((text) => textOf(text, new_id))),
    language: form.language,
    ...signerOf(form),
    ...foundOf(form, in_house),
    how: form.how === "mark" ? "mark" : "drawn",
    offered_at: at,
  };
}

function signerOf(form: ConsentForm) {
  const representative = form.signer_role === "representative";
  return {
    signer_name: form.signer_name.trim(),
    signer_role: form.signer_role,
    ground: representative ? form.ground : ("" as const),
    authority: representative ? form.authority.trim() : "",
  };
}

function foundOf(form: ConsentForm, in_house: boolean) {
  return {
    capacity: capacityOf(form),
    witness: form.how === "mark" ? form.witness.trim() : "",
    own_wish: form.own_wish,
    place_kind: form.place_kind || (in_house ? ("facility" as const) : ("client_home" as const)),
    place: form.place.trim(),
  };
}

async function textOf({ id, purpose, version, words }: ConsentText, new_id: () => string) {
  return { consent: new_id(), text_id: id, purpose, version, text_hash: await sha256(words) };
}

function capacityOf({ capacity }: ConsentForm) {
  const [understands, keeps, weighs, says] = CAPACITY.map((one) => {
    const found = capacity[one];
    return found === undefined || found === "dont_know" ? null : found;
  });
  return {
    understands: understands ?? null,
    keeps: keeps ?? null,
    weighs: weighs ?? null,
    says: says ?? null,
  };
}

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
  const representative = form.signer_role === "representative";
  const signer = {
    signer_name: form.signer_name.trim(),
    signer_role: form.signer_role,
    ground: representative ? form.ground : ("" as const),
    authority: representative ? form.authority.trim() : "",
  };
  const { language, presented } = form;
  const answered = texts.map((text) => ({
    ...text,
    agreed: signed && form.answers[text.purpose] === true,
  }));
  const decisions = answered.map(async ({ id, purpose, version, words, agreed }) => ({
    consent: new_id(),
    text_id: id,
    purpose,
    version,
    text_hash: await sha256(words),
    agreed,
  }));
  return {
    sheet: new_id(),
    client,
    language,
    decisions: await Promise.all(decisions),
    ...signer,
    capacity: capacityOf(form),
    how: signed ? form.how : "unsigned",
    witness: form.how === "mark" ? form.witness.trim() : "",
    strokes: signed ? strokes : [],
    paper_photo: signed && form.how === "paper" ? form.paper_photo : null,
    presented,
    own_wish: form.own_wish,
    said: form.said.trim(),
    place_kind: form.place_kind || (in_house ? "facility" : "client_home"),
    place: form.place.trim(),
    device_kind: "technician_phone",
    shown_sha256: await shownSha256({ language, presented, ...signer, texts: answered }),
    decided_at: at,
  };
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

/**
 * How signing on a client's own phone goes, from the link to "Done". Whatever breaks on the way, the practice gets
 * one answer, once, and it is the one that was given: what is being sent is on disk before it is sent, and never
 * changes from then on.
 */
import type { StrokePoint } from "../domain/commands";
import { shownSha256 } from "../domain/shown";
import type { Answering } from "../parts/signing/answering";
import type { ConsentText } from "../parts/signing/text";
import type { LinkHolder, SigningHttp } from "../wire/signing";
import type { SigningAnswer, SigningSheet } from "../wire/types";
import { type Came, type Pace, untilHeard } from "./until-heard";
import type { End, Wait } from "./heard";
import type { Keep } from "./keep";

/** `begun`: whoever signs has said that it is them. */
export interface OwnForm extends Answering {
  begun: boolean;
}

/** What the page shows. `tries`: so many in vain. `kept`: the answers outlive the page. `sent`: they were given, and came too late. */
export type Phase =
  | { at: "opening"; wait: Wait | null; tries: number }
  | { at: "asking"; sheet: SigningSheet; form: OwnForm; kept: boolean }
  | { at: "sending"; wait: Wait | null; kept: boolean }
  | { at: "done" }
  | { at: "ended"; end: End; sent: boolean };

interface Means {
  token: string;
  keep: Keep;
  http: SigningHttp;
  pace: Pace;
  newPhone: () => string;
  now: () => Date;
  show: (phase: Phase) => void;
}

export interface Signed {
  strokes: StrokePoint[][];
  signed: boolean;
}

export class Course {
  readonly #means: Means;
  #phone = "";

  constructor(means: Means) {
    this.#means = means;
  }

  async begin(): Promise<void> {
    const { keep, newPhone, show } = this.#means;
    show({ at: "opening", wait: null, tries: 0 });
    await keep.tidy();
    // On disk before the link is opened: with another secret, this phone would be another phone.
    this.#phone = (await keep.once("phone", newPhone())) as string;
    const done = (await keep.read("done")) as SigningAnswer | null;
    if (done !== null) return this.#send(done);
    const kept = (await keep.read("sheet")) as SigningSheet | null;
    const came = kept === null ? await this.#open() : { got: kept };
    if ("end" in came) return this.#ended(came.end, false);
    await keep.write("sheet", came.got);
    const form = (await keep.read("form")) as OwnForm | null;
    show({ at: "asking", sheet: came.got, form: form ?? blank(came.got), kept: keep.safe });
  }

  /** Whether it outlives the page. */
  async save(form: OwnForm): Promise<boolean> {
    const { keep } = this.#means;
    await keep.write("form", form);
    return keep.safe;
  }

  async finish(sheet: SigningSheet, form: OwnForm, how: Signed): Promise<void> {
    const { keep, now } = this.#means;
    const answer = await answerOf(sheet, form, how, now());
    // Another page of this phone may have been first: then its answer is the one.
    await this.#send((await keep.once("done", answer)) as SigningAnswer);
  }

  get #as(): LinkHolder {
    return { token: this.#means.token, phone: this.#phone };
  }

  #open(): Promise<Came<SigningSheet>> {
    const { http, pace, show } = this.#means;
    const waiting = (wait: Wait, tries: number) => {
      show({ at: "opening", wait, tries });
    };
    return untilHeard(() => http.open(this.#as), pace, waiting);
  }

  async #send(answer: SigningAnswer): Promise<void> {
    const { http, keep, pace, show } = this.#means;
    const waiting = (wait: Wait | null) => {
      show({ at: "sending", wait, kept: keep.safe });
    };
    waiting(null);
    const came = await untilHeard(() => http.done(this.#as, answer), pace, waiting);
    if ("end" in came) return this.#ended(came.end, true);
    // It was taken, and a yes of it holds for nothing: whoever signed has to know.
    if (!came.got) return this.#ended("over", true);
    await keep.clear();
    show({ at: "done" });
  }

  async #ended(end: End, sent: boolean): Promise<void> {
    await this.#means.keep.clear();
    this.#means.show({ at: "ended", end, sent });
  }
}

/** In the order shown, in the language that was chosen. */
export function textsOf(sheet: SigningSheet, language: string): ConsentText[] {
  return sheet.texts[language] ?? [];
}

function blank({ language, signer_name, how }: SigningSheet): OwnForm {
  const nothing = { answers: {}, said: "", presented: "read_self", begun: false } as const;
  return { language, signer_name, how, ...nothing };
}

/** A text without an answer is a no, and so is all of a sheet that nobody wanted to sign. */
async function answerOf(
  sheet: SigningSheet,
  form: OwnForm,
  { strokes, signed }: Signed,
  at: Date,
): Promise<SigningAnswer> {
  const { language, presented } = form;
  const { signer_name, signer_role, ground, authority } = sheet;
  const texts = textsOf(sheet, language).map((text) => ({
    ...text,
    agreed: signed && form.answers[text.purpose] === true,
  }));
  const signer = { signer_name, signer_role, ground, authority };
  return {
    language,
    presented,
    answers: texts.map(({ id, agreed }) => ({ text_id: id, agreed })),
    signed,
    strokes: signed ? strokes : [],
    said: form.said.trim(),
    shown_sha256: await shownSha256({ language, presented, ...signer, texts }),
    decided_at: at.toISOString(),
  };
}

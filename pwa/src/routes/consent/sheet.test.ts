/** A sitting becomes one command. Check: our own rule; the digest by the shared vectors in tests/parity. */
import { describe, expect, it } from "vitest";

import { sha256, shownSha256 } from "../../domain/shown";
import type { ConsentText } from "../../parts/signing/text";
import { blankConsent, type ConsentForm, missing, toAsk } from "./form";
import { offerOf, sheetOf } from "./sheet";

const TEXTS: ConsentText[] = [
  { id: "foot_care", purpose: "treatment", version: 1, title: "Care", words: "We care." },
  { id: "photos", purpose: "photos", version: 2, title: "Photos", words: "We take photos." },
];
const ABLE = { understands: true, keeps: true, weighs: true, says: true } as const;
const STROKES = [[{ x: 1, y: 1, t: 1 }]];
const filled: ConsentForm = {
  ...blankConsent(),
  signer_name: " Ada ",
  capacity: ABLE,
  answers: { treatment: true, photos: false },
};

function sitting() {
  let made = 0;
  const new_id = () => `id-${String((made += 1))}`;
  return { client: "c", in_house: false, texts: TEXTS, strokes: STROKES, new_id, at: "now" };
}

describe("a sheet", () => {
  it("tells each answer, and what was shown", async () => {
    const sheet = await sheetOf(filled, sitting(), true);
    expect(sheet.decisions.map(({ purpose, agreed }) => [purpose, agreed])).toEqual([
      ["treatment", true],
      ["photos", false],
    ]);
    expect(sheet).toMatchObject({ how: "drawn", strokes: STROKES, place_kind: "client_home" });
    const signer = { signer_name: "Ada", signer_role: "client", ground: "", authority: "" };
    const texts = TEXTS.map((text, place) => ({ ...text, agreed: place === 0 }));
    const shown = { language: "en", presented: "read_self", ...signer, texts };
    expect(sheet.shown_sha256).toBe(await shownSha256(shown));
  });

  it("is a no to everything, and no signature, where the signer does not want to sign", async () => {
    const sheet = await sheetOf({ ...filled, said: " Not today " }, sitting(), false);
    expect(sheet.decisions.some(({ agreed }) => agreed)).toBe(false);
    expect(sheet).toMatchObject({ how: "unsigned", strokes: [], said: "Not today" });
  });

  it("never takes an answer that is missing for a yes", async () => {
    const sheet = await sheetOf({ ...filled, answers: {} }, sitting(), true);
    expect(sheet.decisions.some(({ agreed }) => agreed)).toBe(false);
  });
});

describe("a link for the client's own phone", () => {
  it("offers the same sitting as a sheet records", async () => {
    const { strokes: _, ...about } = sitting();
    const token = "a".repeat(43);
    const offer = await offerOf(filled, { ...about, offer: "o", token });
    const sheet = await sheetOf(filled, sitting(), true);
    const { texts, token_sha256, offered_at, offer: id, ...told } = offer;
    expect(texts.map(({ consent: _id, ...text }) => text)).toEqual(
      sheet.decisions.map(({ consent: _id, agreed: _no, ...text }) => text),
    );
    expect(sheet).toMatchObject({ ...told, sheet: expect.any(String) as string });
    expect([id, offered_at]).toEqual(["o", "now"]);
    expect(token_sha256).toBe(await sha256(token));
  });

  it("never has its secret in what is sent", async () => {
    const { strokes: _, ...about } = sitting();
    const token = "Secret_43".padEnd(43, "-x");
    const link = { offer: "o", token };
    const offer = await offerOf({ ...filled, link }, { ...about, ...link });
    expect(JSON.stringify(offer)).not.toContain(token);
  });

  it("has no name of a witness but for a mark", async () => {
    const { strokes: _, ...about } = sitting();
    const link = { offer: "o", token: "t" };
    const seen = { ...filled, witness: " Bo " };
    expect(await offerOf(seen, { ...about, ...link })).toMatchObject({ how: "drawn", witness: "" });
    const mark = await offerOf({ ...seen, how: "mark" }, { ...about, ...link });
    expect(mark).toMatchObject({ how: "mark", witness: "Bo" });
  });
});

describe("what is still missing before anybody may sign", () => {
  it("is whether the client can decide, until all four were found", () => {
    expect(missing(filled)).toEqual([]);
    for (const one of ["understands", "keeps", "weighs", "says"] as const) {
      for (const found of [false, "dont_know"] as const) {
        const capacity = { ...ABLE, [one]: found };
        expect(missing({ ...filled, capacity })).toEqual(["consent.missing_decider"]);
      }
      const { [one]: _, ...capacity } = ABLE;
      expect(missing({ ...filled, capacity })).toEqual(["consent.missing_capacity"]);
    }
  });

  it("is the right of somebody else", () => {
    const other = { ...filled, signer_role: "representative", capacity: {} } as const;
    expect(missing(other)).toEqual(["consent.authority"]);
    expect(missing({ ...other, ground: "guardian" })).toEqual([]);
    expect(missing({ ...other, ground: "other" })).toEqual(["consent.authority_words"]);
    expect(missing({ ...other, ground: "other", authority: "Court paper" })).toEqual([]);
  });

  it("is a purpose, a name, the witness of a mark, and a place that is called otherwise", () => {
    const bare = { ...filled, purposes: [], signer_name: " ", how: "mark", place_kind: "other" };
    expect(missing(bare as ConsentForm)).toEqual([
      "consent.ask_for",
      "consent.signer_name",
      "consent.witness",
      "consent.place",
    ]);
    expect(missing({ ...filled, how: "mark", witness: "Bo" })).toEqual([]);
  });
});

describe("what is asked for", () => {
  const none = { treatment: "none", photos: "none", sharing: "none", messages: "none" } as const;

  it("is all on which there is no word, and the staff only where there are some", () => {
    expect(toAsk(none, false)).toEqual(["treatment", "photos", "messages"]);
    expect(toAsk(none, true)).toEqual(["treatment", "photos", "sharing", "messages"]);
  });

  it("is not asked again after a no, but for the work", () => {
    expect(toAsk({ ...none, treatment: "refused", photos: "refused" }, false)).toEqual([
      "treatment",
      "messages",
    ]);
  });
});

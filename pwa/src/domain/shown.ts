/** What exactly was shown at a signing, in one form of bytes. `intake/shown.py` makes alike. */
export const FORM = "heelwright.consent.shown.1";

export interface ShownText {
  id: string;
  version: number;
  title: string;
  words: string;
  agreed: boolean;
}

export interface Shown {
  language: string;
  presented: string;
  signer_name: string;
  signer_role: string;
  ground: string;
  authority: string;
  /** In the order in which they were shown. */
  texts: readonly ShownText[];
}

/** JSON (RFC 8259) of lists alone, so that no order of keys is left open, without spaces. */
export function canonical(shown: Shown): string {
  const signer = [shown.signer_name, shown.signer_role, shown.ground, shown.authority];
  const texts = shown.texts.map((text) => [
    text.id,
    text.version,
    text.title,
    text.words,
    text.agreed,
  ]);
  return JSON.stringify([FORM, shown.language, shown.presented, signer, texts]);
}

/** SHA-256 of the form in UTF-8, in hex. */
export function shownSha256(shown: Shown): Promise<string> {
  return sha256(canonical(shown));
}

export async function sha256(words: string): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(words));
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

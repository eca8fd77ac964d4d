/** Who signed a consent, and when. A coordinator's phone knows only when. */
import { t } from "../../words";
import { dayAndTime } from "../../words/format";

export function signedWords(consent: { signer_name?: string; signed_at: string }): string {
  const at = dayAndTime(consent.signed_at);
  return consent.signer_name
    ? t("consent.signed_by", { name: consent.signer_name, at })
    : t("consent.signed_at", { at });
}

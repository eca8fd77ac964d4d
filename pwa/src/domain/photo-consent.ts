/** Whether a photo may be taken. `photos/rules.py` and `intake/rules.py` decide alike. */
import type { PhotoPurpose } from "./commands";
import { type ConsentState, stateOf } from "./consents";
import type { RowOf } from "./rows";

/** Of a person's body. The others are papers, and need no consent to photos. */
const OF_THE_BODY: readonly PhotoPurpose[] = ["before", "after", "finding", "mishap"];

export function needsConsent(purpose: PhotoPurpose): boolean {
  return OF_THE_BODY.includes(purpose);
}

/** What a client has said to photos, as it stands at a moment. */
export function photoConsent(
  said: readonly { row: RowOf<"consent_choice"> }[],
  client: string,
  at: Date,
): ConsentState {
  const theirs = said.filter(({ row }) => row.client === client && row.purpose === "photos");
  // A yes by somebody who could not decide is on record, and holds for nothing.
  const counting = theirs.filter(({ row }) => row.counts);
  const decisions = counting.map(({ row }) => ({ ...row, at: row.signed_at }));
  return stateOf(decisions, at);
}

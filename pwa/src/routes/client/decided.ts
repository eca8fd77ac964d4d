/** What a client, or who decides for them, has said yes and no to, put together from the phone's rows. */
import {
  type ConsentState,
  type Decision,
  endsAt,
  type Purpose,
  stateOf,
} from "../../domain/consents";
import type { RowOf } from "../../domain/rows";
import { byTime, newest } from "../../domain/by-time";

/** What the two kinds of consent rows have in common. */
export interface AnyConsent {
  id: string;
  pending: boolean;
  row: RowOf<"consent">;
}

function decisionOf({ row }: AnyConsent): Decision {
  return { agreed: row.agreed ?? true, at: row.signed_at, withdrawn_at: row.withdrawn_at };
}

function ofPurpose(said: readonly AnyConsent[], purpose: Purpose): AnyConsent[] {
  // A yes by a client who could not decide is on record, and holds for nothing.
  return said.filter(({ row }) => (row.purpose ?? "treatment") === purpose && (row.counts ?? true));
}

export function consentStates(
  said: readonly AnyConsent[],
  at: Date,
): Record<Purpose, ConsentState> {
  const state = (purpose: Purpose) => stateOf(ofPurpose(said, purpose).map(decisionOf), at);
  return {
    treatment: state("treatment"),
    photos: state("photos"),
    sharing: state("sharing"),
    messages: state("messages"),
  };
}

/** What a state rests on: each yes that stands, and the decision that was made or taken back last. */
export interface Decided {
  standing: readonly AnyConsent[];
  last: AnyConsent | null;
}

export function decidedOf(said: readonly AnyConsent[], at: Date): Record<Purpose, Decided> {
  const one = (purpose: Purpose): Decided => {
    const all = ofPurpose(said, purpose);
    const decisions = all.map(decisionOf);
    const holds = (held: AnyConsent) => stateOf([decisionOf(held)], at) === "agreed";
    const standing = all.filter(
      (held) => holds(held) && endsAt(decisionOf(held), decisions) === null,
    );
    const last = newest(standing.length > 0 ? standing : all, ({ row }) =>
      standing.length > 0 ? row.signed_at : (row.withdrawn_at ?? row.signed_at),
    );
    return { standing, last };
  };
  return {
    treatment: one("treatment"),
    photos: one("photos"),
    sharing: one("sharing"),
    messages: one("messages"),
  };
}

/** Every yes to the work, with its end where a no came later. */
export function withEnds(said: readonly AnyConsent[]): AnyConsent[] {
  const work = ofPurpose(said, "treatment");
  const decisions = work.map(decisionOf);
  return work
    .filter((held) => held.row.agreed ?? true)
    .map((held) => ({
      ...held,
      row: { ...held.row, withdrawn_at: endsAt(decisionOf(held), decisions) },
    }));
}

/** The yeses that stand, the newest first, and the one that ended last where none does. */
export function consentsOf(consents: readonly AnyConsent[]): {
  agreed: AnyConsent[];
  taken_back: AnyConsent | null;
} {
  const agreed = consents
    .filter(({ row }) => row.withdrawn_at === null)
    .toSorted(byTime(({ row }) => row.signed_at))
    .toReversed();
  const last = newest(consents, ({ row }) => row.withdrawn_at ?? row.signed_at);
  return { agreed, taken_back: agreed.length === 0 ? last : null };
}

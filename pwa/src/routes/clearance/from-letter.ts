/** What a form for a clearance takes over from the answer to a letter: from that letter, and from no other. */
import { type Answer, answersOf, refersOn } from "../../domain/referrals";
import type { RowOf } from "../../domain/rows";
import { isNo } from "../../domain/verdicts";
import type { ClientFile } from "../client/file";

type Letter = RowOf<"referral">;

/** The rules of which a letter speaks to a clinician. Empty while the server has not said which. */
export function speaksOf(row: Letter): readonly string[] {
  return refersOn({ row }) ? row.reasons : (row.asks ?? []);
}

/** The yes that a letter was answered with last, if it was. */
function yesTo(row: Letter): Answer | undefined {
  const last = answersOf(row).at(-1);
  return last && row.answer_recorded_at !== null && !isNo(last) ? last : undefined;
}

export function taken(row: Letter) {
  const yes = yesTo(row);
  if (!yes) return null;
  const { clinician, clinician_role, answered_on: given_on, answer: scope } = yes;
  return { clinician, clinician_role, given_on, scope, covers: [...(row.asks ?? [])] };
}

/** Where to write down a clearance for what asks for one now: after the newest letter about it, once that has its yes. */
export function clearanceAt(file: Pick<ClientFile, "id" | "judgement" | "referrals">): string {
  const fired = file.judgement?.fired ?? [];
  const asking = fired.filter(({ outcome }) => outcome === "needs_clearance").map(({ id }) => id);
  const about = file.referrals.filter(
    ({ row }) =>
      (speaksOf(row).length === 0 && !refersOn({ row })) ||
      speaksOf(row).some((rule) => asking.includes(rule)),
  );
  const newest = about
    .toSorted((one, other) => Date.parse(one.row.made_at) - Date.parse(other.row.made_at))
    .at(-1);
  const at = `/client/${file.id}/clearance`;
  return newest && yesTo(newest.row) ? `${at}/${newest.id}` : at;
}

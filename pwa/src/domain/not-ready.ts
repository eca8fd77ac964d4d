/** What the phone of a coordinator knows of a resident who can't be visited: that, and never why. */
import type { Day, Id } from "../wire/types";

export type NotReady = "clinician" | "practice";

interface Told {
  row: { client: Id; last_day: Day | null; clinician: boolean };
}

/** Who is waited for, as far as the client wants it told, by a day of the practice's zone. Undefined where nobody is. */
export function notReady(told: readonly Told[], client: Id, day: Day): NotReady | undefined {
  const row = told.find((each) => each.row.client === client)?.row;
  if (!row || (row.last_day !== null && day <= row.last_day)) return undefined;
  return row.clinician ? "clinician" : "practice";
}

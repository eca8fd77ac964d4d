/** What earlier foot checks found, as the screens of the feet need it. */
import type { Finding } from "../../domain/findings";
import { trailsOf, type Look, type Trail, type Work } from "../../domain/feet/trails";
import type { Held } from "../../store";

/** Checks that were slips are passed over. */
export function trailsOfClient(held: readonly Held<"foot_check">[], client: string): Trail[] {
  const looks: Look[] = held
    .filter(({ row }) => row.client === client && !row.entered_in_error)
    .map(({ row }) => ({
      checked_at: row.checked_at,
      findings: row.findings,
      gone: row.gone ?? [],
    }));
  return trailsOf(looks);
}

export function worksOf(visits: readonly Held<"visit">[]): Work[] {
  return visits.map(({ row }) => ({
    at: row.record.ended_at ?? row.started_at,
    cracks: row.record.cracks ?? [],
  }));
}

/** The same thing today. A crack's measures are taken anew, so none is carried over. */
export function sameAgain(finding: Finding, id: string): Finding {
  const anew = { length_mm: null, depth_mm: null, state: null, bleeding: null, oozing: null };
  return { ...finding, ...anew, id, note: "", follows: finding.id, looked: true };
}

/** Words for ids that come from a record or from the server: known ones by the catalogue, others as they are. */
import { en } from "./en";
import { t, type MessageKey } from "./index";

export function named(group: string, id: string): string {
  const key = `${group}.${id}`;
  return key in en ? t(key as MessageKey) : id.replaceAll("_", " ");
}

export function regionWord(region: string): string {
  return named("region", region);
}

export function findingWord(what: string): string {
  return named("finding.what", what);
}

export function workWord(work: string): string {
  return named("work", work);
}

export function placeWord(place: string): string {
  return named("place", place);
}

export function incidentWord(code: string): string {
  return named("incident.code", code);
}

/** Where the words of such reasons stand; an outcome and why one may not start share some ids. */
export const REASON_GROUPS = [
  "breach",
  "standing",
  "outcome",
  "reason",
  "command",
  "kit.reason",
] as const;

/** Why an entry is under review: a breach of a limit, a reason not to start, or what a person wrote. */
export function incidentReason(reason: string): string {
  const group = REASON_GROUPS.find((each) => `${each}.${reason}` in en);
  return group === undefined ? reason : named(group, reason);
}

/** What two people came to, each on their own; empty where the rulebook could not read the answers. */
export function outcomeName(outcome: string): string {
  return named("outcome", outcome === "" ? "held" : outcome);
}

/** Where a rule belongs; a practice may have named one itself. */
export function frameworkWord(framework: string): string {
  return named("framework", framework);
}

export function unitWord(unit: string): string {
  return named("unit", unit);
}

export function referToWord(to: string): string {
  return named("refer_to", to);
}

export function verdictWord(verdict: string): string {
  return named("verdict", verdict);
}

export function withinWord(within: string): string {
  return named("within", within);
}

/** How a set stands. */
export function kitStateWord(state: string): string {
  return named("kit.state", state);
}

/** What speaks against a set, a cycle or a use of the kit. */
export function kitReasonWord(reason: string): string {
  return named("kit.reason", reason);
}

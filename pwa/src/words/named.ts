/** Words for ids that come from a record or from the server: known ones by the catalogue, others as they are. */
import { en } from "./en";
import { t, type MessageKey } from "./index";

function named(group: string, id: string): string {
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

export function unitWord(unit: string): string {
  return named("unit", unit);
}

export function referToWord(to: string): string {
  return named("refer_to", to);
}

export function withinWord(within: string): string {
  return named("within", within);
}

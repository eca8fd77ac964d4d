/** Photos of what was found on a foot. Each is about one finding, by the finding's id. */
import type { APhoto } from "./photo-pairs";

/** The oldest first. */
export function photosOfFinding(photos: readonly APhoto[], finding: string): APhoto[] {
  return ofFindings(photos).filter(({ row }) => row.about === finding);
}

/** Of a finding that was not kept, or whose check was a slip. The oldest first. */
export function photosOfNoFinding(
  photos: readonly APhoto[],
  client: string,
  findings: readonly { id: string }[],
): APhoto[] {
  const known = new Set(findings.map(({ id }) => id));
  return ofFindings(photos).filter(
    ({ row }) => row.client === client && !(row.about !== null && known.has(row.about)),
  );
}

function ofFindings(photos: readonly APhoto[]): APhoto[] {
  return photos
    .filter(({ row }) => row.purpose === "finding")
    .toSorted((one, other) => Date.parse(one.row.taken_at) - Date.parse(other.row.taken_at));
}

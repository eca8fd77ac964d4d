/** Papers under whose they are: one's own first, then by name; of each those that end first. */
import type { Held } from "../../store";

export interface PapersOf {
  id: string;
  name: string;
  papers: Held<"paper">[];
}

const NEVER = "9999";

export function byPerson(
  papers: readonly Held<"paper">[],
  staff: readonly Held<"staff">[],
  me: string,
): PapersOf[] {
  return staff
    .filter(({ row }) => !row.ended)
    .map(({ id, row }) => ({
      id,
      name: row.name,
      papers: papers
        .filter((paper) => paper.row.staff === id)
        .sort((one, other) =>
          (one.row.expires_on ?? NEVER).localeCompare(other.row.expires_on ?? NEVER),
        ),
    }))
    .filter((person) => person.papers.length > 0)
    .sort(
      (one, other) =>
        Number(other.id === me) - Number(one.id === me) || one.name.localeCompare(other.name),
    );
}

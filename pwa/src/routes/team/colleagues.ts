/** The practice's people by name, and who of them a client or a facility can be given to. */
import type { Held } from "../../store";
import type { Role } from "../../wire/types";

type Person = Held<"staff">;

export function byName(staff: readonly Person[]): Person[] {
  return staff.toSorted((a, b) => a.row.name.localeCompare(b.row.name));
}

/** Those of these roles who still work here and do not have it yet. */
export function whoCanHave(
  staff: readonly Person[],
  having: readonly string[],
  roles: readonly Role[],
): Person[] {
  return byName(staff).filter(
    ({ id, row }) => !row.ended && !having.includes(id) && roles.includes(row.role),
  );
}

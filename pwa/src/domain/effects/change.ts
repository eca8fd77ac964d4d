/** What an effect is made of: for one row, how it becomes another. */
import type { Id, Instant } from "../../wire/types";
import type { CommandArgs, CommandName } from "../commands";
import type { RowKind, RowOf } from "../rows";

export type AnyRow = Record<string, unknown>;

export interface Change {
  kind: RowKind;
  /** null: every row of the kind. */
  id: Id | null;
  /** The client, or the practice's own row, that the row belongs to; null where the phone cannot know. */
  scope: Id | null;
  becomes: (before: AnyRow | null) => AnyRow | null;
}

/** Who made a command, on which phone, when, and by which rulebook. */
export interface Made {
  staff: Id;
  device: Id;
  name: string;
  at: Instant;
  rulebook: string;
}

export type Effect<N extends CommandName> = (args: CommandArgs[N], made: Made) => Change[];

/** A new row. Where the row is there already, fields that the phone does not know are kept. */
export function put<K extends RowKind>(kind: K, id: Id, row: RowOf<K>, scope: Id | null): Change {
  return { kind, id, scope, becomes: (before) => ({ ...before, ...row }) };
}

/** Whichever row of a kind belongs to one client belongs to another from now on. */
export function handOver(kind: RowKind, from: Id, to: Id): Change {
  const becomes = (row: AnyRow | null) => (row?.["client"] === from ? { ...row, client: to } : row);
  return { kind, id: null, scope: null, becomes };
}

/** A row that is no more. */
export function remove(kind: RowKind, id: Id): Change {
  return { kind, id, scope: null, becomes: () => null };
}

/** Some fields of a row, plain or worked out from it. A row that is not here stays away. */
export function amend<K extends RowKind>(
  kind: K,
  id: Id,
  fields: Partial<RowOf<K>> | ((row: RowOf<K>) => Partial<RowOf<K>>),
): Change {
  const from = (row: AnyRow) =>
    typeof fields === "function" ? fields(row as unknown as RowOf<K>) : fields;
  return { kind, id, scope: null, becomes: (before) => before && { ...before, ...from(before) } };
}

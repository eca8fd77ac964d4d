/** What a person decides about a file of residents that was read, and the command that comes of it. */
import type { CommandArgs, CardStatus } from "../../domain/commands";
import type { Held } from "../../store";
import type { Day, Id, ResidentsReport } from "../../wire/types";

type Import = CommandArgs["import_residents"];
type Taken = Import["new"][number];
type Changed = Import["changed"][number];
/** Of somebody whom the file does not name: stays as they are, or is away from now on. */
export type Left = "stays" | Exclude<CardStatus, "active" | undefined>;

export interface Decisions {
  /** By line: the resident that it is like, or somebody new. */
  unsure: Record<number, "same" | "new">;
  /** By client. */
  left: Record<Id, Left>;
  /** The lines that can't be read are left out. */
  without_bad: boolean;
}

export function undecided(): Decisions {
  return { unsure: {}, left: {}, without_bad: false };
}

/** How many things a person must say first. */
export function openQuestions(report: ResidentsReport, decided: Decisions): number {
  const unsure = report.unsure.filter(({ line }) => decided.unsure[line] === undefined).length;
  return unsure + (report.bad_lines > 0 && !decided.without_bad ? 1 : 0);
}

export function toTakeIn(
  facility: Id,
  report: ResidentsReport,
  decided: Decisions,
  clients: readonly Held<"client">[],
  today: Day,
  newId: () => Id,
): Import {
  const version = new Map(clients.map(({ id, version: seen }) => [id, seen]));
  const strangers = report.unsure.filter(({ line }) => decided.unsure[line] === "new");
  const known = report.unsure.filter(({ line }) => decided.unsure[line] === "same");
  const change = (client: Id, changes: object): Changed => ({
    client,
    seen: version.get(client) ?? 0,
    changes: changes as Changed["changes"],
  });
  const left = report.missing.flatMap((client) => {
    const status = decided.left[client] ?? "stays";
    return status === "stays" ? [] : [change(client, { status, status_since: today })];
  });
  return {
    facility,
    new: [...report.new, ...strangers].map(({ card }) => ({ client: newId(), ...card }) as Taken),
    changed: [
      ...[...report.changed, ...known].map(({ client, changes }) => change(client, changes)),
      ...left,
    ],
  };
}

/** The report as a table, a line for each thing that is wrong (RFC 4180). */
export function problemTable(report: ResidentsReport, head: readonly string[]): string {
  const rows = report.problems
    .flatMap(({ lines, field, text, remedy }) =>
      lines.map((line) => [line, field ?? "", text, remedy] as const),
    )
    .toSorted((one, other) => one[0] - other[0]);
  return [head, ...rows]
    .map((row) => row.map((cell) => `"${String(cell).replaceAll('"', '""')}"`).join(","))
    .join("\r\n");
}

/** Line numbers as people write them: 3, 7 to 9, and how many more there are. */
export function ranges(lines: readonly number[], most: number): { said: string[]; more: number } {
  const spans: [number, number][] = [];
  for (const line of lines) {
    const last = spans.at(-1);
    if (last?.[1] === line - 1) last[1] = line;
    else spans.push([line, line]);
  }
  const shown = spans.slice(0, most);
  const more = spans.slice(most).reduce((sum, [from, to]) => sum + to - from + 1, 0);
  return { said: shown.map(([from, to]) => (from === to ? `${from}` : `${from}–${to}`)), more };
}

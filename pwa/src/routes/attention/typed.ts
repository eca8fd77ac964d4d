import type { CommandArgs } from "../../domain/commands";
import { t } from "../../words";
import { date, dayAndTime } from "../../words/format";

/** Everything that was typed into a command, line by line, so that a person can read and reuse it. */
export interface Typed {
  field: string;
  value: string;
}

export function typedIn(args: Readonly<Record<string, unknown>>, under = ""): Typed[] {
  return Object.entries(args).flatMap(([name, value]) =>
    lines(under + name.replaceAll("_", " "), value),
  );
}

/** Visits that were planned together: a line for each, by names and times, and what was written beside them. */
export function typedVisits(
  args: CommandArgs["plan_round" | "arrange_visits"],
  clients: ReadonlyMap<string, string>,
  staff: ReadonlyMap<string, string>,
): Typed[] {
  const beside = "note" in args ? { day: date(args.day), note: args.note } : {};
  const visits = args.visits.map((visit) =>
    t("refused.visit_line", {
      at: dayAndTime(visit.starts_at),
      minutes: visit.minutes,
      name: clients.get(visit.client) ?? t("client.unknown"),
      by: staff.get(visit.staff) ?? t("refused.somebody"),
    }),
  );
  return typedIn({
    ...beside,
    ...Object.fromEntries(visits.map((line, at) => [`visit ${String(at + 1)}`, line])),
  });
}

function lines(field: string, value: unknown): Typed[] {
  if (value === null || value === undefined || value === "") return [];
  if (Array.isArray(value)) {
    if (value.every((each) => typeof each !== "object"))
      return [{ field, value: value.join(", ") }];
    return value.flatMap((each: unknown, at) => lines(`${field} ${String(at + 1)}`, each));
  }
  if (typeof value === "object") return typedIn(value as Record<string, unknown>, `${field}: `);
  return [{ field, value: typeof value === "string" ? value : JSON.stringify(value) }];
}

import type { CommandArgs } from "../../domain/commands";
import { t } from "../../words";
import { date, dayAndTime } from "../../words/format";

/** Everything that was typed into a command, line by line, so that a person can read and reuse it. */
export interface Typed {
  field: string;
  value: string;
}

type Names = ReadonlyMap<string, string>;
const ID = /^([\da-f]{8}(-[\da-f]{4}){3}-[\da-f]{12}|[\da-f]{32,})$/i;
const DAY = /^\d{4}-\d\d-\d\d$/;
const MOMENT = /^\d{4}-\d\d-\d\dT\d\d:\d\d.*(Z|[+-]\d\d:\d\d)$/;

/** Records are told by their names (`names`, by id). Nobody typed an id: one without a name is left out. */
export function typedIn(
  args: Readonly<Record<string, unknown>>,
  names: Names = new Map(),
  under = "",
): Typed[] {
  return Object.entries(args).flatMap(([name, value]) =>
    lines(under + name.replaceAll("_", " "), value, names),
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

function lines(field: string, value: unknown, names: Names): Typed[] {
  if (Array.isArray(value)) {
    if (value.every((each) => typeof each !== "object")) {
      return line(
        field,
        value
          .map((each) => said(each, names))
          .filter(Boolean)
          .join(", "),
      );
    }
    return value.flatMap((each: unknown, at) => lines(`${field} ${String(at + 1)}`, each, names));
  }
  if (typeof value === "object" && value !== null)
    return typedIn(value as Record<string, unknown>, names, `${field}: `);
  return line(field, said(value, names));
}

function line(field: string, value: string): Typed[] {
  return value === "" ? [] : [{ field, value }];
}

function said(value: unknown, names: Names): string {
  if (value === null || value === undefined) return "";
  if (typeof value !== "string") return JSON.stringify(value);
  if (ID.test(value)) return names.get(value) ?? "";
  if (MOMENT.test(value)) return dayAndTime(value);
  return DAY.test(value) ? date(value) : value;
}

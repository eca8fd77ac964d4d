/** For each kind of incident: what the owner may do about it, and the screen of what it is about. */
import { byClient, toClients, type Traced } from "../../domain/kit/trace";
import type { RowOf } from "../../domain/rows";
import type { Id } from "../../wire/types";
import type { MessageKey } from "../../words";

type Incident = Pick<RowOf<"incident">, "code" | "about" | "about_id" | "client">;

const MAY: Readonly<Record<string, MessageKey>> = {
  screens_disagree: "incident.may.ask_again",
  foot_checks_disagree: "incident.may.look_again",
  answers_not_read: "incident.may.ask_again",
  confirmed_otherwise: "incident.may.ask_again",
  clearance_need_gone: "incident.may.ask_again",
  clinician_of_team: "incident.may.check_yes",
  clearance_shows_nothing: "incident.may.check_yes",
  visit_of_held_client: "incident.may.look_after_client",
  start_not_vouched_for: "incident.may.look_after_client",
  more_visits_to_check: "incident.may.read_visits",
  visit_of_absent_client: "incident.may.check_card",
  visit_of_moved_booking: "incident.may.check_bookings",
  visit_of_closed_booking: "incident.may.check_bookings",
  not_seen_but_done: "incident.may.check_bookings",
  from_revoked_device: "incident.may.check_entry",
  not_taken_from_revoked_device: "incident.may.enter_anew",
  from_signing_link: "incident.may.ask_client",
  not_taken_from_signing_link: "incident.may.ask_client",
  client_of_others: "incident.may.give_client",
  clock_ahead: "incident.may.set_clock",
  clock_set_back: "incident.may.set_clock",
  unsent_work_recovered: "incident.may.ask_person",
  card_made_milder: "incident.may.check_card",
  milder_outcome_shown: "incident.may.update_app",
  entered_in_error: "incident.may.check_mistake",
  visit_told_as_whole: "incident.may.look_after_client",
  visit_names_unknown: "incident.may.send_rest",
  visit_times_changed: "incident.may.ask_times",
  outside_limits: "incident.may.look_after_client",
  photo_without_consent: "incident.may.look_at_photo",
  set_used_unready: "incident.may.read_trace",
  cycle_failed: "incident.may.read_trace",
  machine_failed: "incident.may.read_trace",
  used_called_back: "incident.may.read_trace",
  set_unknown: "incident.may.check_kit",
  consent_text_unknown: "incident.may.ask_consent",
  consent_shown_differs: "incident.may.ask_consent",
  consent_without_capacity: "incident.may.ask_decider",
};

export function mayDo({ code }: Pick<Incident, "code">): MessageKey {
  return (Object.hasOwn(MAY, code) ? MAY[code] : undefined) ?? "incident.may.look_and_close";
}

/** Whether two people recorded the same, unknown to each other. */
export function isApart({ code }: Pick<Incident, "code">): boolean {
  return code === "screens_disagree" || code === "foot_checks_disagree";
}

interface OfTheKit {
  thing?: Id;
  machine?: Id | null;
  product?: Id | null;
}
/** The uses, cycles and machine checks of the phone, by their ids. */
type Named = ReadonlyMap<Id, OfTheKit>;

/** Null where there is no screen of it. */
export function leadsTo(
  { about, about_id, client }: Incident,
  named: Named,
): { to: string; word: MessageKey } | null {
  if (about === "visit")
    return { to: `#/visit/${about_id}/aftercare`, word: "incident.open_visit" };
  if (about === "device") return { to: "#/team", word: "incident.open_team" };
  const trace = traceOf(about, about_id, named);
  if (trace !== null) return { to: trace, word: "incident.open_trace" };
  if (client === null) return null;
  if (about === "health_screen" || about === "foot_check")
    return { to: `#/client/${client}/outcome`, word: "incident.open_outcome" };
  return { to: `#/client/${client}`, word: "incident.open_client" };
}

function traceOf(about: string, id: Id, named: Named): string | null {
  if (about === "kit_load") return `#/kit/trace/cycle/${id}`;
  const { thing, machine } = named.get(id) ?? {};
  if (thing !== undefined) return `#/kit/trace/set/${thing}`;
  return machine ? `#/kit/trace/machine/${machine}` : null;
}

/** What of the kit an incident is about; null where that is not on this phone. */
export function thingOf({ about_id }: Pick<Incident, "about_id">, named: Named): Id | null {
  const { thing, machine, product } = named.get(about_id) ?? {};
  return thing ?? machine ?? product ?? null;
}

/** The gravest first. */
const CALLS_BACK = ["machine_failed", "cycle_failed", "used_called_back"];

/** Whether it may mean a call to clients. */
export function callsBack({ code }: Pick<Incident, "code">): boolean {
  return CALLS_BACK.includes(code);
}

/** An owner hears of one bad cycle or check also by each technician who used it: the gravest of them stands for all. */
export interface CalledBack<T> {
  gravest: T;
  others: readonly T[];
}

export function calledBack<T extends { row: Pick<Incident, "code" | "about_id"> }>(
  incidents: readonly T[],
): CalledBack<T>[] {
  const those = incidents
    .filter(({ row }) => callsBack(row))
    .toSorted((a, b) => CALLS_BACK.indexOf(a.row.code) - CALLS_BACK.indexOf(b.row.code));
  return [...new Set(those.map(({ row }) => row.about_id))].flatMap((cause) => {
    const [gravest, ...others] = those.filter(({ row }) => row.about_id === cause);
    return gravest === undefined ? [] : [{ gravest, others }];
  });
}

/** How many clients the list to which it leads says to call; null where this phone has no such list. */
export function toCall(
  { about, about_id }: Pick<Incident, "about" | "about_id">,
  named: Named,
  uses: readonly Traced[],
): number | null {
  if (!named.has(about_id)) return null;
  const machine = about === "kit_load" ? null : named.get(about_id)?.machine;
  const reached = machine
    ? toClients(uses, "machine", machine)
    : toClients(uses, "cycle", about_id);
  return byClient(reached.filter(({ against }) => against.length > 0)).length;
}

/** The two cards that may be of one person. */
export function pairOf({ about_id, reasons }: Pick<RowOf<"incident">, "about_id" | "reasons">) {
  return [about_id, reasons[0] ?? about_id] as const;
}

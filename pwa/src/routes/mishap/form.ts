/** What went wrong as it is written down, and as the report that it becomes. */
import type { CommandArgs } from "../../domain/commands";
import type { Id } from "../../wire/types";
import { clockOf, dayKey, moment } from "../../words/format";

export type Told = CommandArgs["report_mishap"]["told"][number];

export const WHO = [
  "client",
  "family",
  "facility",
  "clinician",
  "emergency_services",
  "owner",
] as const satisfies Told["who"][];

export interface MishapForm {
  /** Its id, from the moment that it is said what it is, so that a photo can name it. */
  mishap: Id;
  /** The visit it happened in, where that is known. */
  visit: Id | null;
  kind: string;
  day: string;
  clock: string;
  what_happened: string;
  places: string[];
  first_aid_given: string;
  told: Told[];
  follow_up_on: string;
  photo: Id | null;
  /** Whether the visit that is under way stops here; undefined until a person has said so. */
  stops: boolean | null;
}

export function blankMishap(): MishapForm {
  return {
    mishap: "",
    visit: null,
    kind: "",
    day: "",
    clock: "",
    what_happened: "",
    places: [],
    first_aid_given: "",
    told: [],
    follow_up_on: "",
    photo: null,
    stops: null,
  };
}

/** Begun: what it is has been said, and so it happened just now, until a person says otherwise. */
export function begun(form: MishapForm, kind: string, id: Id, now: Date): MishapForm {
  const first = { mishap: id, day: dayKey(now), clock: clockOf(now) };
  return { ...form, ...(form.mishap === "" ? first : {}), kind };
}

export function report(
  { stops: _, day, clock, follow_up_on, ...told }: MishapForm,
  ids: { client: Id; visit: Id | null; visit_stopped: boolean },
  now: Date,
): CommandArgs["report_mishap"] {
  const at = day === "" || clock === "" ? now : moment(day, clock);
  return {
    ...told,
    ...ids,
    visit: ids.visit ?? told.visit,
    what_happened: told.what_happened.trim(),
    first_aid_given: told.first_aid_given.trim(),
    happened_at: (at > now ? now : at).toISOString(),
    follow_up_on: follow_up_on === "" ? null : follow_up_on,
  };
}

/** A refused report, back as the form it was typed on. */
export function formOf(args: CommandArgs["report_mishap"]): MishapForm {
  const { client: _, happened_at, follow_up_on, visit_stopped, ...told } = args;
  const at = { day: dayKey(happened_at), clock: clockOf(happened_at) };
  const stops = visit_stopped ?? null;
  return { ...blankMishap(), ...told, ...at, stops, follow_up_on: follow_up_on ?? "" };
}

export interface LaterForm {
  note: string;
  told: Told[];
  follow_up_on: string;
  outcome: string;
}

export function blankLater(): LaterForm {
  return { note: "", told: [], follow_up_on: "", outcome: "" };
}

export function addition(
  form: LaterForm,
  ids: { mishap: Id; entry: Id },
  now: Date,
): CommandArgs["add_to_mishap"] {
  return {
    ...ids,
    added_at: now.toISOString(),
    told: form.told,
    note: form.note.trim(),
    outcome: form.outcome.trim(),
    follow_up_on: form.follow_up_on === "" ? null : form.follow_up_on,
  };
}

export function saysNothing({ note, told, follow_up_on, outcome }: LaterForm): boolean {
  return note.trim() + outcome.trim() + follow_up_on === "" && told.length === 0;
}

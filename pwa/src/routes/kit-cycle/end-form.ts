/** How a cycle of a machine ended, as it is typed, and the command that it becomes. */
import type { CommandArgs } from "../../domain/commands";
import { beganAt } from "../../domain/kit/contact";
import type { Cycle } from "../../domain/kit/kit";
import { type Indicator, outcome, type Outcome, ranMinutes } from "../../domain/kit/loads";
import type { Id } from "../../wire/types";

export function blankEnd() {
  return {
    held_minutes: null as number | null,
    celsius: null as number | null,
    indicator: "" as Indicator | "",
    note: "",
  };
}

// No steriliser runs so far above what is asked: it is a slip, such as °F for °C. Common practice,
// no source.
const MOST_ABOVE = 40;
const MOST_CELSIUS = 300;

/** The most that may be typed as the heat held, where `asked` is what the process asks. */
export function mostCelsius(asked: number | null | undefined): number {
  return Math.min(MOST_CELSIUS, (asked ?? MOST_CELSIUS) + MOST_ABOVE);
}

export type EndForm = ReturnType<typeof blankEnd>;
type Told = CommandArgs["end_load"];

export function endOf(form: EndForm, load: Id, end: Id, now: Date, interrupted = false): Told {
  const { held_minutes, celsius, indicator, note } = form;
  return {
    end,
    load,
    ended_at: now.toISOString(),
    held_minutes,
    celsius,
    indicator: indicator || "not_read",
    interrupted,
    note: note.trim(),
  };
}

/** What the cycle comes to, if it ends like this. */
export function comesTo({ row, facts }: Cycle, told: Told, device: Id | null): Outcome {
  const ran_minutes = ranOf(row, new Date(told.ended_at), device);
  return outcome({ ...facts, ends: [...facts.ends, { ...told, id: told.end, ran_minutes }] });
}

/** As the server will reckon it. */
export function ranOf(row: Cycle["row"], now: Date, device: Id | null): number {
  return ranMinutes(beganAt(row, device), now.toISOString(), null);
}

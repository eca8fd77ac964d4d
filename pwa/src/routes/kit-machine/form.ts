/** The form for a check of a machine: what it holds, what it lacks, and the command that it becomes. */
import type { CommandArgs } from "../../domain/commands";
import type { BookJson } from "../../domain/screening";
import { typedMoment } from "../../parts/moment-field";
import type { Id } from "../../wire/types";
import { clockOf, dayKey } from "../../words/format";
import type { MessageKey } from "../../words";

export interface CheckForm {
  kind: string;
  tested_day: string;
  tested_clock: string;
  /** Of one whose result comes later, as that of a spore test does. */
  read_day: string;
  read_clock: string;
  passed: "" | "passed" | "failed";
  note: string;
}

export function blankCheck(now: Date): CheckForm {
  const [day, clock] = [dayKey(now), clockOf(now)];
  return {
    kind: "",
    tested_day: day,
    tested_clock: clock,
    read_day: day,
    read_clock: clock,
    passed: "",
    note: "",
  };
}

/** One that was opened before, and left with no result, is of now. */
export function ofNow(form: CheckForm, now: Date): CheckForm {
  const { kind, passed, note } = form;
  return passed === "" && note === "" ? { ...blankCheck(now), kind } : form;
}

type Told = CommandArgs["record_machine_check"];

/** One that the book does not know reaches back, as the strictest do. */
export function reachesBack({ machine_checks = [] }: BookJson, kind: string): boolean {
  return machine_checks.find(({ id }) => id === kind)?.reaches_back ?? true;
}

/** Null while a day or a time is missing. */
export function checkOf(form: CheckForm, book: BookJson, machine: Id, check: Id): Told | null {
  const { kind, passed, note } = form;
  const back = reachesBack(book, kind);
  const tested = typedMoment(form.tested_day, form.tested_clock);
  const read = back ? typedMoment(form.read_day, form.read_clock) : tested;
  if (tested === null || read === null) return null;
  return {
    check,
    machine,
    kind,
    tested_at: tested.toISOString(),
    read_at: read.toISOString(),
    passed: passed === "passed",
    shown_reaches_back: back,
    note: note.trim(),
  };
}

/** As it was filled in. */
export function checkTold({ kind, tested_at, read_at, passed, note }: Told): CheckForm {
  return {
    kind,
    tested_day: dayKey(tested_at),
    tested_clock: clockOf(tested_at),
    read_day: dayKey(read_at),
    read_clock: clockOf(read_at),
    passed: passed ? "passed" : "failed",
    note,
  };
}

export function checkLacks(form: CheckForm, told: Told | null): MessageKey[] {
  const lacks: [MessageKey, boolean][] = [
    ["kit_machine.lacks_kind", form.kind === ""],
    ["kit_machine.lacks_when", told === null],
    ["kit_machine.lacks_result", form.passed === ""],
  ];
  return lacks.filter(([, so]) => so).map(([key]) => key);
}

/** A time that lies ahead, or a result from before the test. */
export function checkWrong(told: Told | null, now: Date): MessageKey[] {
  if (told === null) return [];
  const [tested, read] = [Date.parse(told.tested_at), Date.parse(told.read_at)];
  if (Math.max(tested, read) > now.getTime()) return ["kit_machine.ahead"];
  return read < tested ? ["kit_machine.read_before"] : [];
}

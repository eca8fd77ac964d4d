/** By when each check of a machine is to be done again, and which has failed. */
import type { Day, Id, Instant } from "../../wire/types";
import { daysAfter } from "../due";
import type { RowOf } from "../rows";
import type { MachineCheck } from "../screening/book";
import type { HeldRow, Machine } from "./kit";

/** never: none on record. failed: the last one did, and nothing that the machine makes counts until a good one. */
export type CheckState = "never" | "failed" | "overdue" | "due" | "in_time";

export interface DueCheck {
  check: MachineCheck;
  state: CheckState;
  /** When it was done last. */
  last: Instant | null;
  /** The last day on which it is in time. */
  due_on: Day | null;
}

/** Of one machine. `dayOf` is the day of a moment where the practice is. */
export function dueChecks(
  book: readonly MachineCheck[],
  { id, card }: Pick<Machine, "id" | "card">,
  records: readonly HeldRow<"machine_check">[],
  today: Day,
  dayOf: (at: Instant) => Day,
): DueCheck[] {
  return book
    .filter(({ machines }) => machines.some((kind) => kind === card.machine))
    .map((check) => {
      const last = lastOf(id, check.id, records);
      if (last === undefined) return { check, state: "never", last: null, due_on: null };
      const due_on = daysAfter(dayOf(last.tested_at), check.every_days);
      const state = last.passed ? stateOf(today, due_on) : "failed";
      return { check, state, last: last.tested_at, due_on };
    });
}

/** Whether a check of a machine failed when it was done last, also one that the book does not know. */
export function hasFailed(machine: Id, records: readonly HeldRow<"machine_check">[]): boolean {
  const kinds = new Set(records.map(({ row }) => row.kind));
  return [...kinds].some((kind) => lastOf(machine, kind, records)?.passed === false);
}

function stateOf(today: Day, due_on: Day): CheckState {
  if (today > due_on) return "overdue";
  return today === due_on ? "due" : "in_time";
}

/** Of two at one moment the one that failed. */
function lastOf(
  machine: Id,
  kind: string,
  records: readonly HeldRow<"machine_check">[],
): RowOf<"machine_check"> | undefined {
  return records
    .map(({ row }) => row)
    .filter((row) => row.machine === machine && row.kind === kind)
    .toSorted(
      (a, b) =>
        Date.parse(b.tested_at) - Date.parse(a.tested_at) || Number(a.passed) - Number(b.passed),
    )[0];
}

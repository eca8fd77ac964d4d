/** What a failed check of a machine casts into doubt, as far as a phone knows. */
import type { Id } from "../../wire/types";
import { type Check, pulledBack } from "./recalls";
import type { Kit } from "./kit";
import { cyclesOf } from "./trace";

export interface InDoubt {
  cycles: number;
  sets: number;
  clients: number;
}

export function castIntoDoubt(kit: Kit, machine: Id, check: Check): InDoubt {
  const told = kit.rows.machine_check.flatMap(({ row }) =>
    row.machine === machine ? [{ ...row, at: row.tested_at }] : [],
  );
  const cycles = kit.cycles.filter(
    ({ row }) => row.machine === machine && pulledBack(row.started_at, [...told, check]),
  );
  const ids = new Set(cycles.map(({ id }) => id));
  const used = kit.rows.kit_use.filter(({ row }) =>
    cyclesOf(kit, row).some((load) => ids.has(load)),
  );
  return {
    cycles: cycles.length,
    sets: new Set(cycles.flatMap(({ row }) => row.sets)).size,
    clients: new Set(used.map(({ row }) => row.client)).size,
  };
}

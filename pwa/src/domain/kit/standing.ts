/**
 * How a set stands by the steps that are told of it, and whether it may go to a client. No clock decides an order:
 * docs/decisions/0180-what-a-set-has-been-through.md says why. The twin is kit/rules/standing.py; both run
 * tests/parity/kit.json.
 */
import type { Id, Instant } from "../../wire/types";
import { type Level, LEVELS, type Load, type LoadState, outcome } from "./loads";

export type What =
  | "take_out"
  | "put_back"
  | "use"
  | "soil"
  | "wash"
  | "cycle"
  | "pack"
  | "reject"
  | "lose"
  | "retire"
  | "bring_back";
export type State =
  | "clean"
  | "out"
  | "in_use"
  | "dirty"
  | "washing"
  | "processing"
  | "drying"
  | "rejected"
  | "lost"
  | "retired"
  | "unclear";

const STATES: Partial<Record<What, State>> = {
  use: "in_use",
  soil: "dirty",
  wash: "washing",
  reject: "rejected",
  lose: "lost",
  retire: "retired",
  bring_back: "dirty",
};
const ENDED: Record<LoadState, State> = {
  running: "processing",
  complete: "drying",
  again: "washing",
};
/** Where the chain of what counts for a set begins anew, whatever it went through before. */
const FRESH_START = "wash";
const DAY_MS = 24 * 60 * 60 * 1000;

/** `after` are the last steps of the set that the phone knew then. `end` is the end of a cycle by which it was packed. */
export interface Step {
  id: Id;
  what: What;
  at: Instant;
  staff: Id;
  after: readonly Id[];
  load: Id | null;
  end: Id | null;
}

/** `heads` are the steps that none follows; `until` the moment to which it keeps; `staff` who did the last step. */
export interface Standing {
  state: State;
  heads: readonly Id[];
  reasons: readonly string[];
  until: Instant | null;
  staff: Id | null;
  load: Id | null;
}

export type Steps = readonly Step[];
export type Loads = ReadonlyMap<Id, Load>;

/** The steps that none follows, in the order of their ids. */
export function headsOf(steps: Steps): Id[] {
  const followed = new Set(steps.flatMap(({ after }) => after));
  return steps
    .map(({ id }) => id)
    .filter((id) => !followed.has(id))
    .toSorted();
}

/** How a set that `needs` this stands now. One that nobody has told of, or of which two phones tell apart, is not clean. */
export function standing(needs: Level, steps: Steps, loads: Loads, now: Date): Standing {
  const heads = headsOf(steps);
  const told = { heads, reasons: [], until: null, staff: null, load: null };
  if (heads.length > 1) return { ...told, state: "unclear", reasons: ["told_apart"] };
  const head = steps.find(({ id }) => id === heads[0]);
  if (head === undefined) return { ...told, state: "dirty", reasons: ["no_cycle_yet"] };
  const { staff } = head;
  if (head.what === "cycle") {
    return { ...told, ...inCycle(loads.get(head.load ?? "")), staff, load: head.load };
  }
  const state = STATES[head.what];
  if (state !== undefined) return { ...told, staff, state };
  const found = cleanBy(head, needs, steps, loads);
  const over = found.until !== null && now.getTime() > Date.parse(found.until);
  const reasons = over ? [...found.reasons, "out_of_date"] : found.reasons;
  const clean = head.what === "take_out" ? "out" : "clean";
  return { ...found, heads, staff, reasons, state: reasons.length > 0 ? "dirty" : clean };
}

/** Whether this person may use the set on a client: it is clean, and in nobody else's box. */
export function mayGive({ state, staff }: Standing, by: Id): boolean {
  return state === "clean" || (state === "out" && staff === by);
}

/** Why a set may not be used by somebody whose phone knew of these last steps; nothing where it may. */
export function against(stands: Standing, after: readonly Id[], by: Id): readonly string[] {
  const known = new Set(after);
  if (known.size !== stands.heads.length || stands.heads.some((head) => !known.has(head)))
    return ["changed_since"];
  if (mayGive(stands, by)) return [];
  if (stands.state === "out") return ["in_anothers_box"];
  return stands.reasons.length > 0 ? stands.reasons : ["not_clean"];
}

/** The cycles from which a set came to a step: the last of each account. */
export function cyclesBefore(step: Step, steps: Steps): Id[] {
  const loads = nearest("cycle", step, steps).map(({ load }) => load ?? "");
  return [...new Set(loads)].toSorted();
}

/** The nearest steps of a kind before this one, on each way back, up to a washing. */
function nearest(what: What, step: Step, steps: Steps): Step[] {
  const byId = new Map(steps.map((each) => [each.id, each]));
  const found: Step[] = [];
  const seen = new Set<Id>();
  const ahead = [...step.after];
  for (let id = ahead.pop(); id !== undefined; id = ahead.pop()) {
    const at = byId.get(id);
    if (at === undefined || seen.has(id)) continue;
    seen.add(id);
    if (at.what === what) found.push(at);
    else if (at.what !== FRESH_START) ahead.push(...at.after);
  }
  return found;
}

function inCycle(load: Load | undefined): Pick<Standing, "state" | "reasons"> {
  if (load === undefined) return { state: "washing", reasons: ["cycle_unknown"] };
  const { state, reasons } = outcome(load);
  return { state: ENDED[state], reasons };
}

type Found = Pick<Standing, "reasons" | "load" | "until">;

/** Walks back from a set that was packed, and perhaps taken along, to its washing. */
function cleanBy(head: Step, needs: Level, steps: Steps, loads: Loads): Found {
  const line = back(head, steps).filter(({ what }) => what !== "take_out" && what !== "put_back");
  const [pack, ...before] = line;
  if (pack === undefined) return { reasons: ["history_unclear"], load: null, until: null };
  const cycle = before[0];
  if (pack.what !== "pack" || cycle?.what !== "cycle" || cycle.load === null)
    return { reasons: ["no_cycle"], load: null, until: null };
  const load = loads.get(cycle.load);
  if (!load?.asked) return { reasons: ["cycle_unknown"], load: cycle.load, until: null };
  const until = new Date(Date.parse(pack.at) + load.asked.storage_days * DAY_MS).toISOString();
  const ended = outcome(load);
  const reasons = ended.state === "running" ? ["cycle_not_done"] : [...ended.reasons];
  if (ended.state === "complete" && !load.ends.some(({ id }) => id === pack.end))
    reasons.push("packed_early");
  if (LEVELS.indexOf(load.asked.level) < LEVELS.indexOf(needs)) reasons.push("cycle_not_enough");
  // Only cycles, each begun again, may lie between this one and a washing.
  if (before.find(({ what }) => what !== "cycle")?.what !== FRESH_START) reasons.push("not_washed");
  return { reasons, load: cycle.load, until };
}

/** A step and those before it, as long as each follows one step alone that is known. */
function back(step: Step, steps: Steps): Step[] {
  const byId = new Map(steps.map((each) => [each.id, each]));
  const line: Step[] = [];
  for (
    let at: Step | undefined = step;
    at !== undefined && !line.includes(at);
    at = at.after.length === 1 ? byId.get(at.after[0] ?? "") : undefined
  )
    line.push(at);
  return line;
}

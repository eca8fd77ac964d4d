/** All that the rules say of a history, in the form of tests/parity/kit_cases.py. */
import { type Load, outcome } from "../../../src/domain/kit/loads";
import { type Check, pulledBack } from "../../../src/domain/kit/recalls";
import { against, cyclesBefore, standing, type Step } from "../../../src/domain/kit/standing";
import type { Level } from "../../../src/domain/kit/loads";

export interface Case {
  needs: Level;
  steps: Step[];
  loads: Record<string, Load>;
  now: string;
  staff: string;
  after?: string[];
  recalls: { started_at: string; checks: Check[] }[];
}

export function judged({ needs, steps, loads, now, staff, after, recalls }: Case) {
  const stands = standing(needs, steps, new Map(Object.entries(loads)), new Date(now));
  const { until } = stands;
  return {
    ...stands,
    until: until === null ? null : Date.parse(until) / 1000,
    against: against(stands, after ?? stands.heads, staff),
    cycles: Object.fromEntries(steps.map((step) => [step.id, cyclesBefore(step, steps)])),
    outcomes: Object.fromEntries(
      Object.entries(loads).map(([id, load]) => {
        const { state, reasons } = outcome(load);
        return [id, [state, ...reasons]];
      }),
    ),
    pulled_back: recalls.map((one) => pulledBack(one.started_at, one.checks)),
  };
}

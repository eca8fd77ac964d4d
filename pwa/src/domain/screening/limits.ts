/** Joins the limits of several rules into the strictest of each. The twin is limits.py. */
import type { Limit } from "./book";

/** `null` means not limited. */
export type MergedLimits = Omit<Limit, "id" | "source" | "basis">;

export function merge(limits: readonly MergedLimits[]): MergedLimits {
  const shortest = largest(limits.map((limit) => limit.softener_min_minutes));
  const longest = smallest(limits.map((limit) => limit.softener_max_minutes));
  // Two limits that leave no time at all leave no softener.
  const noTime = shortest !== null && longest !== null && shortest > longest;
  const forbidden = noTime || limits.some((limit) => limit.softener === "none");
  return {
    bits_allowed: common(limits.map((limit) => limit.bits_allowed)),
    top_speed_m_s: smallest(limits.map((limit) => limit.top_speed_m_s)),
    max_rpm: lowestRpm(limits),
    no_bit_in_crack: limits.some((limit) => limit.no_bit_in_crack),
    no_blades: limits.some((limit) => limit.no_blades),
    softener: forbidden ? "none" : "allowed",
    softener_max_percent: smallest(limits.map((limit) => limit.softener_max_percent)),
    softener_min_minutes: shortest,
    softener_max_minutes: longest,
    leave_alone: [...new Set(limits.flatMap((limit) => limit.leave_alone))].sort(),
  };
}

function common(lists: readonly (string[] | null)[]): string[] | null {
  const named = lists.filter((list) => list !== null);
  const [first] = named;
  if (first === undefined) return null;
  return [...new Set(first)]
    .filter((family) => named.every((list) => list.includes(family)))
    .sort();
}

function lowestRpm(limits: readonly MergedLimits[]): Record<string, number> {
  const lowest: Record<string, number> = {};
  for (const [family, rpm] of limits.flatMap((limit) => Object.entries(limit.max_rpm))) {
    lowest[family] = Math.min(rpm, lowest[family] ?? rpm);
  }
  return lowest;
}

function smallest(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null);
  return known.length === 0 ? null : Math.min(...known);
}

function largest(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null);
  return known.length === 0 ? null : Math.max(...known);
}

/** What a clinician narrowed, from what was ticked, in the shape of a limit of the rulebook. */
import type { ClearanceLimits } from "../../domain/clearances";
import { answersOf } from "../../domain/referrals";
import type { BookJson } from "../../domain/screening";
import type { Foot } from "../../parts/foot/regions";
import type { ClientFile } from "../client/file";
import { speaksOf } from "./from-letter";

export interface SaidLimits {
  bits: "any" | "smooth" | "none";
  top_rpm: number | null;
  feet: "both" | Foot;
  softener: "allowed" | "none";
  leave_alone: string[];
}

export const NOTHING_SAID: SaidLimits = {
  bits: "any",
  top_rpm: null,
  feet: "both",
  softener: "allowed",
  leave_alone: [],
};

/** Null where nothing was narrowed. */
export function limitsOf(said: SaidLimits, book: Pick<BookJson, "bits">) {
  const { top_rpm: top, feet, softener } = said;
  const rpm = top === null ? [] : book.bits.map(({ id }) => [id, top] as const);
  const other = feet === "both" ? [] : [feet === "left" ? "right_foot" : "left_foot"];
  const limits = {
    bits_allowed: bitsOf(said.bits, book),
    max_rpm: Object.fromEntries(rpm),
    softener,
    leave_alone: [...said.leave_alone, ...other],
  } satisfies ClearanceLimits;
  const narrows =
    limits.bits_allowed !== null ||
    top !== null ||
    softener === "none" ||
    limits.leave_alone.length > 0;
  return narrows ? limits : null;
}

/** What was ticked for such limits, to be put right; a book that has changed since asks for a look at it. */
export function saidOf(limits: ClearanceLimits | null): SaidLimits {
  if (limits === null) return NOTHING_SAID;
  const { bits_allowed: bits = null, max_rpm, softener, leave_alone: alone = [] } = limits;
  const covered = alone.includes("right_foot") ? "left" : "right";
  return {
    bits: bits === null ? "any" : bits.length > 0 ? "smooth" : "none",
    top_rpm: Object.values(max_rpm ?? {})[0] ?? null,
    feet: alone.some(isFoot) ? covered : "both",
    softener: softener ?? "allowed",
    leave_alone: alone.filter((place) => !isFoot(place)),
  };
}

function isFoot(place: string): boolean {
  return place === "left_foot" || place === "right_foot";
}

function bitsOf(bits: SaidLimits["bits"], book: Pick<BookJson, "bits">): string[] | null {
  if (bits === "any") return null;
  return bits === "none" ? [] : book.bits.filter(({ cutting }) => !cutting).map(({ id }) => id);
}

/** The rules a clinician's word may cover: those that ask for one, and the reasons of a referral that was answered. */
export function coverable(file: Pick<ClientFile, "judgement" | "referrals">): string[] {
  const asking = (file.judgement?.fired ?? []).filter(
    ({ outcome }) => outcome === "needs_clearance",
  );
  const answered = file.referrals.filter(({ row }) => answersOf(row).length > 0);
  const named = answered.flatMap(({ row }) => speaksOf(row));
  return [...new Set([...asking.map(({ id }) => id), ...named])];
}

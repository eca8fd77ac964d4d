/**
 * What a referral letter says, worked out on the phone from the records that made the referral,
 * so that it can be read and printed with no signal.
 */
import type { Finding, Outcome } from "../../domain/findings";
import type { BookJson, FiredRule } from "../../domain/screening";
import type { Held } from "../../store";
import type { ClientFile } from "../client/file";
import { judgeTogether } from "../client/judge-together";

export interface Letter {
  made_at: string;
  level: Outcome;
  /** Empty where it is not known. */
  refer_to: string;
  within: string;
  reasons: readonly FiredRule[];
  findings: readonly Finding[];
}

/** A referral has the id of the screen or the foot check that made it. */
export function letterOf(
  book: BookJson,
  { id, row }: Held<"referral">,
  file: ClientFile,
  screens: readonly Held<"health_screen">[],
  checks: readonly Held<"foot_check">[],
): Letter {
  const check = checks.find((held) => held.id === id)?.row ?? null;
  const asked = check ? check.screen : id;
  // Feet that refer on by themselves are kept also where their screen is not.
  const screen = asked === null ? { answers: {} } : screens.find((held) => held.id === asked)?.row;
  const judgement = screen ? judgeTogether(book, [screen], check ? [check] : [], file.age) : null;
  return {
    made_at: row.made_at,
    level: row.level,
    refer_to: row.refer_to || (judgement?.referral?.refer_to ?? ""),
    within: row.within || (judgement?.referral?.within ?? ""),
    reasons: (judgement?.fired ?? []).filter((rule) => rule.refer_to !== null),
    findings: check?.findings ?? [],
  };
}

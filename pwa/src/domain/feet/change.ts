/** What of a crack is not as it was: by how much, and whether for the worse. */
import type { Measure } from "./trails";

export interface Change {
  of: "length" | "depth";
  /** In mm; above zero is for the worse. */
  by: number;
  /** When the earlier measure was taken. */
  since: string;
}

/**
 * The last look beside the last look before it that measured the same; nothing where either was not measured, or
 * they are alike. Measures after work are left out: the next look would always find it worse.
 */
export function changesOf(measures: readonly Measure[]): Change[] {
  const looks = measures.filter(({ worked }) => !worked);
  return (["length", "depth"] as const).flatMap((of) => {
    const field = `${of}_mm` as const;
    const last = looks.at(-1)?.[field] ?? null;
    const before = looks.slice(0, -1).findLast((measure) => measure[field] !== null);
    const was = before?.[field] ?? null;
    if (last === null || was === null || before === undefined || last === was) return [];
    // Tenths of a millimetre, or 0.1 + 0.2 would be told as a change.
    const by = Math.round((last - was) * 10) / 10;
    return by === 0 ? [] : [{ of, by, since: before.at }];
  });
}

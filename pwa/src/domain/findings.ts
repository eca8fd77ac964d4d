/** What is answered about a client and seen on a foot. How it is judged is in screening/. */

export type Outcome = "go" | "go_with_limits" | "needs_clearance" | "refer_first" | "emergency";

/** In order of weight: a later one wins. */
export const OUTCOMES = [
  "go",
  "go_with_limits",
  "needs_clearance",
  "refer_first",
  "emergency",
] as const satisfies readonly Outcome[];

/** "dont_know" is an answer of its own, and is unbound in the rules just as a missing key is. */
export type Answer = boolean | number | string | string[];
export type Answers = Record<string, Answer>;

export interface Finding {
  id: string;
  foot: "left" | "right";
  view: "top" | "sole";
  region: string;
  what: string;
  length_mm: number | null;
  depth_mm: number | null;
  state: "closed" | "open" | null;
  bleeding: boolean | null;
  oozing: boolean | null;
  note: string;
}

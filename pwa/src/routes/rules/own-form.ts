/** The practice's own rules as they are being written. */
export interface OwnRulesForm {
  text: string;
  /** What stood in the field before a file was read into it. */
  before: string | null;
  /** Whether the rules in force have been brought in. */
  begun: boolean;
}

/** As many characters as the server takes. */
export const LONGEST = 50_000;

export function blankRules(): OwnRulesForm {
  return { text: "", before: null, begun: false };
}

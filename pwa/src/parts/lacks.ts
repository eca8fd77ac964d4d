/** What keeps a form from being saved: what must be filled in, and what is filled in and must be put right. */
import { t, type MessageKey } from "../words";

export interface Lacks {
  missing: MessageKey[];
  wrong: MessageKey[];
}

/** Each field with its name, what is typed in it, and whether that is not right. */
export function lacksOf(fields: readonly (readonly [MessageKey, string, boolean])[]): Lacks {
  const names = (which: (typed: string, wrong: boolean) => boolean) =>
    fields.filter(([, typed, wrong]) => which(typed.trim(), wrong)).map(([key]) => key);
  return {
    missing: names((typed) => typed === ""),
    wrong: names((typed, wrong) => typed !== "" && wrong),
  };
}

/** As the button that saves it says it. */
export function inWords({ missing, wrong }: Lacks): { missing: string[]; wrong: string[] } {
  return { missing: missing.map((key) => t(key)), wrong: wrong.map((key) => t(key)) };
}

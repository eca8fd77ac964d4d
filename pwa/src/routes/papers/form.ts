/** A paper as it is typed in. */
import type { RowOf } from "../../domain/rows";
import type { MessageKey } from "../../words";

export const KINDS = ["licence", "insurance", "first_aid", "other"] as const;

export interface PaperForm {
  seen: number | null;
  staff: string;
  what: (typeof KINDS)[number] | null;
  name: string;
  number: string;
  expires_on: string;
}

export function blankPaper(): PaperForm {
  return { seen: null, staff: "", what: null, name: "", number: "", expires_on: "" };
}

export function paperForm(row: RowOf<"paper">, seen: number): PaperForm {
  const { staff, what, name, number } = row;
  return { seen, staff, what, name, number, expires_on: row.expires_on ?? "" };
}

export function lacking(form: PaperForm): MessageKey[] {
  return [
    ...(form.what ? [] : (["papers.kind"] as const)),
    ...(form.name.trim() ? [] : (["papers.name"] as const)),
  ];
}

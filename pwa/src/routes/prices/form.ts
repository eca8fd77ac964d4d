/** An entry of the price list, and a price of it, as they are typed in. */
import type { RowOf } from "../../domain/rows";

export type Kind = RowOf<"price_item">["kind"];

export interface ItemForm {
  seen: number | null;
  kind: Kind | "";
  name: string;
  advice: string;
  given_up: boolean;
  /** What was typed over an earlier state of it and refused. */
  again: Partial<Pick<ItemForm, "kind" | "name" | "advice" | "given_up">> | null;
  amount: number | null;
  rate: string;
  starts: string;
  facility: string;
  usual: boolean;
}

export function blankItem(): ItemForm {
  return {
    seen: null,
    kind: "",
    name: "",
    advice: "",
    given_up: false,
    again: null,
    amount: null,
    rate: "",
    starts: "",
    facility: "",
    usual: false,
  };
}

/** A rate of tax as the wire has it; null where it is none. */
export function rateOf(typed: string): string | null {
  const text = typed
    .trim()
    .replace(",", ".")
    .replace(/^0+(?=\d)/, "");
  if (text === "") return "0";
  return /^\d{1,2}(\.\d{1,3})?$/.test(text) ? text : null;
}

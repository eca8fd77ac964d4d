/** The bit or the softener that is being written down: what it lacks, and whether it holds anything yet. */
import type { BitUse, SoftenerUse } from "../../domain/commands";
import type { MessageKey } from "../../words";
import type { VisitForm } from "./form";

export interface OpenBit {
  family: string;
  head_mm: number | null;
  rpm: number | null;
  places: string[];
}

export interface OpenSoftener {
  product: string;
  urea_percent: number | null;
  places: string[];
}

export function blankBit(): OpenBit {
  return { family: "", head_mm: null, rpm: null, places: [] };
}

export function blankSoftener(): OpenSoftener {
  return { product: "", urea_percent: null, places: [] };
}

/** Null until its speed can be told; the places may still be missing. */
export function bitOf({ family, head_mm, rpm, places }: OpenBit): BitUse | null {
  if (family === "" || head_mm === null || head_mm <= 0 || rpm === null || rpm <= 0) return null;
  return { family, head_mm, rpm, places };
}

export function bitLacks({ family, head_mm, rpm, places }: OpenBit): MessageKey[] {
  return lacking([
    ["bits.missing_which", family !== ""],
    ["bits.missing_head", (head_mm ?? 0) > 0],
    ["bits.missing_speed", (rpm ?? 0) > 0],
    ["visit.missing_where", places.length > 0],
  ]);
}

export function softenerOf(open: OpenSoftener, placed_at: string): SoftenerUse {
  const { product, urea_percent, places } = open;
  const said = { product: product.trim(), urea_percent: urea_percent ?? 0, places };
  return { ...said, placed_at, removed_at: null };
}

export function softenerLacks({ product, urea_percent, places }: OpenSoftener): MessageKey[] {
  return lacking([
    ["softener.missing_product", product.trim() !== ""],
    ["softener.missing_urea", urea_percent !== null],
    ["visit.missing_where", places.length > 0],
  ]);
}

function lacking(fields: readonly (readonly [MessageKey, boolean])[]): MessageKey[] {
  return fields.filter(([, said]) => !said).map(([key]) => key);
}

/** Which of the two stands open with something on it: sign-off waits for it. */
export function begun({
  open_bit,
  open_softener,
}: Pick<VisitForm, "open_bit" | "open_softener">): ("bit" | "softener")[] {
  const bit = open_bit !== null && bitLacks(open_bit).length < bitLacks(blankBit()).length;
  const softener =
    open_softener !== null &&
    softenerLacks(open_softener).length < softenerLacks(blankSoftener()).length;
  return [...(bit ? (["bit"] as const) : []), ...(softener ? (["softener"] as const) : [])];
}

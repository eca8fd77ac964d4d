/** The forms of the kit's cards: half filled in, then as the command takes them. */
import type { CommandArgs } from "../../domain/commands";
import type { LotCard, MachineCard, ProductCard, SetCard } from "../../domain/kit/facts";
import { drawLabel } from "../../domain/kit/labels";
import { type Lacks, lacksOf } from "../../parts/lacks";

export type Card = CommandArgs["register_thing"]["card"];
export type Kind = Card["kind"];
export const KINDS = ["set", "product", "lot", "machine"] as const satisfies readonly Kind[];

export type Instrument = SetCard["instruments"][number];
export type InstrumentForm = Omit<Instrument, "count"> & { count: number | null };
type Typed<C, K extends keyof C, V> = Omit<C, K> & Record<K, V>;
export type SetForm = Typed<SetCard, "instruments", InstrumentForm[]>;
/** `mixed` is null until somebody says whether it is. */
export type ProductForm = Omit<ProductCard, "contact_minutes" | "expires_on" | "used_for"> & {
  used_for: ProductCard["used_for"] | "";
  contact_minutes: number | null;
  expires_on: string;
  mixed: boolean | null;
};
export type LotForm = Omit<LotCard, "count" | "expires_on"> & {
  count: number | null;
  expires_on: string;
};
export type MachineForm = Omit<MachineCard, "serviced_on" | "maker_minutes"> & {
  serviced_on: string;
  maker_minutes: Record<string, number | null>;
};
export type CardForm = SetForm | ProductForm | LotForm | MachineForm;

/**
 * `seen` is the version of the card that it began from; null for a new thing, and until the card is read.
 * `again` has what was typed into a change that was refused.
 */
export interface ThingForm {
  label: string;
  card: CardForm;
  seen: number | null;
  again: CardForm | null;
}

const SHANK_MM = 2.35;

export function blankThing(kind: Kind): ThingForm {
  return { label: "", card: blankCard(kind), seen: null, again: null };
}

function blankCard(kind: Kind): CardForm {
  const name = "";
  if (kind === "set") return { kind, name, instruments: [] };
  if (kind === "lot") return { kind, name, supply: "", lot: "", expires_on: "", count: null };
  if (kind === "machine")
    return { kind, name, machine: "", serial: "", serviced_on: "", maker_minutes: {} };
  return {
    ...{ kind, name, used_for: "", active: "", registration: "", batch: "", mixed: null },
    ...{ contact_minutes: null, stock_percent: null, use_ppm: null, mixed_keeps_hours: null },
    expires_on: "",
  };
}

/** Most bits have a shank of one measure. */
export function blankInstrument(kind: string): InstrumentForm {
  const bit = kind === BIT;
  return {
    ...{ kind, name: "", count: 1, family: null, head_mm: null, grit: "", most_rpm: null },
    shank_mm: bit ? SHANK_MM : null,
  };
}

export const BIT = "rotary_bit";

export function formOf(card: Card): CardForm {
  if (card.kind === "set")
    return { ...card, instruments: card.instruments.map((one) => ({ ...one })) };
  if (card.kind === "lot") return { ...card, expires_on: card.expires_on ?? "" };
  if (card.kind === "machine")
    return {
      ...card,
      serviced_on: card.serviced_on ?? "",
      maker_minutes: { ...card.maker_minutes },
    };
  return { ...card, expires_on: card.expires_on ?? "", mixed: card.use_ppm !== null };
}

/** Null while something is missing. */
export function cardOf(form: CardForm): Card | null {
  const { missing, wrong } = lacks(form);
  if (missing.length + wrong.length > 0) return null;
  const name = form.name.trim();
  if (form.kind === "set")
    return {
      ...form,
      name,
      instruments: form.instruments.map((one) => ({ ...one, count: one.count ?? 1 })),
    };
  if (form.kind === "lot")
    return { ...form, name, expires_on: form.expires_on || null, count: form.count ?? 0 };
  if (form.kind === "machine") {
    const given = Object.entries(form.maker_minutes).filter(
      (each): each is [string, number] => each[1] !== null,
    );
    return {
      ...form,
      name,
      serviced_on: form.serviced_on || null,
      maker_minutes: Object.fromEntries(given),
    };
  }
  return productOf(form, name);
}

function productOf({ mixed, ...form }: ProductForm, name: string): ProductCard | null {
  const { used_for, contact_minutes } = form;
  if (used_for === "" || contact_minutes === null) return null;
  const strengths = mixed
    ? { stock_percent: form.stock_percent, use_ppm: form.use_ppm }
    : { stock_percent: null, use_ppm: null, mixed_keeps_hours: null };
  const expires_on = form.expires_on || null;
  return { ...form, ...strengths, name, used_for, contact_minutes, expires_on };
}

export function lacks(form: CardForm): Lacks {
  if (form.kind === "set")
    return lacksOf([
      ["kit_lacks.name", form.name, false],
      [
        "kit_lacks.instruments",
        form.instruments.length > 0 ? "some" : "",
        form.instruments.some(({ count }) => count === null || !Number.isInteger(count)),
      ],
    ]);
  if (form.kind === "lot")
    return lacksOf([
      ["kit_lacks.name", form.name, false],
      ["kit_lacks.supply", form.supply, false],
      ["kit_lacks.count", written(form.count), !Number.isInteger(form.count)],
    ]);
  if (form.kind === "machine")
    return lacksOf([
      ["kit_lacks.name", form.name, false],
      ["kit_lacks.machine", form.machine, false],
    ]);
  return lacksOfProduct(form);
}

function lacksOfProduct(form: ProductForm): Lacks {
  const { mixed, stock_percent: stock, use_ppm: use } = form;
  const tooStrong = stock !== null && use !== null && use > stock * PPM_IN_PERCENT;
  return lacksOf([
    ["kit_lacks.name", form.name, false],
    ["kit_lacks.used_for", form.used_for, false],
    ["kit_lacks.contact_minutes", written(form.contact_minutes), false],
    ["kit_lacks.mixed", written(mixed), false],
    ...(mixed
      ? ([
          ["kit_lacks.stock_percent", written(stock), false],
          ["kit_lacks.use_ppm", written(use), tooStrong],
        ] as const)
      : []),
  ]);
}

const PPM_IN_PERCENT = 10_000;

function written(value: number | boolean | null): string {
  return value === null ? "" : String(value);
}

/** A new code for a label that is printed later; none that this phone knows already. */
export function freshLabel(taken: readonly string[]): string {
  for (;;) {
    const label = drawLabel((bytes) => crypto.getRandomValues(bytes));
    if (!taken.includes(label)) return label;
  }
}

/** The form for a solution: what it holds, and what it comes to. */
import type { CommandArgs } from "../../domain/commands";
import {
  CannotMix,
  ppm,
  recipeBy,
  recipeFor,
  type MixField,
  type MixProblem,
  type Ratio,
  type Recipe,
  shareOf,
} from "../../domain/kit/dilution";
import type { BookJson } from "../../domain/screening";
import type { ProductCard } from "../../domain/kit/facts";

export type By = "ppm" | "percent" | "ratio";

export function blankMix() {
  return {
    product: "",
    stock_percent: null as number | null,
    by: "ppm" as By,
    /** In ppm or per cent, as `by` says. */
    target: null as number | null,
    /** Of 1 part in, or to, so many. */
    to: null as number | null,
    reading: "" as Ratio["reading"] | "",
    volume_ml: null as number | null,
    note: "",
  };
}

export type MixForm = ReturnType<typeof blankMix>;

/** As the product's label has it. */
export function byLabel(form: MixForm, id: string, card: ProductCard): MixForm {
  const { stock_percent, use_ppm: target } = card;
  return { ...form, product: id, stock_percent, by: "ppm", target, to: null, reading: "" };
}

/** As it was filled in, by whichever way: in ppm. */
export function mixAsked(told: CommandArgs["mix_solution"]): MixForm {
  const { product, stock_percent, target_ppm: target, volume_ml, note } = told;
  return { ...blankMix(), product, stock_percent, target, volume_ml, note };
}

export interface Mix extends Recipe {
  target_ppm: number;
}
export type Mixed =
  | { mix: Mix; fault?: undefined }
  | { mix?: undefined; fault: { field: MixField; problem: MixProblem } }
  /** It is not all filled in. */
  | { mix?: undefined; fault?: undefined };

export function mixOf(form: MixForm): Mixed {
  const { stock_percent, by, target, to, reading, volume_ml } = form;
  if (stock_percent === null || volume_ml === null) return {};
  const stock = { value: stock_percent, unit: "percent" } as const;
  try {
    if (by === "ratio") {
      if (to === null || reading === "") return {};
      const ratio = { parts: 1, to, reading };
      const target_ppm = ppm(stock, "stock") * shareOf(ratio);
      return { mix: { ...recipeBy(ratio, volume_ml), target_ppm } };
    }
    if (target === null) return {};
    const wanted = { value: target, unit: by } as const;
    const mix = recipeFor(stock, wanted, volume_ml);
    return { mix: { ...mix, target_ppm: ppm(wanted, "target") } };
  } catch (cause) {
    if (!(cause instanceof CannotMix)) throw cause;
    return { fault: { field: cause.field, problem: cause.problem } };
  }
}

/** For instruments, by the label. */
export function tooWeak({ target_ppm }: Mix, { use_ppm }: ProductCard): boolean {
  return use_ppm !== null && target_ppm < use_ppm;
}

const HOUR_MS = 3_600_000;
/** Of a book that does not say. */
const LONGEST_HOURS = 24;

/** As the label says; without it as the book says of every mix. */
export function keepsUntil(
  { mixed_keeps_hours }: ProductCard,
  { settings }: Pick<BookJson, "settings">,
  now: Date,
): Date {
  const hours = mixed_keeps_hours ?? settings.solution_hours_max ?? LONGEST_HOURS;
  return new Date(now.getTime() + hours * HOUR_MS);
}

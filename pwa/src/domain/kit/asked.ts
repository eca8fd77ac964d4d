/**
 * What a cycle must reach, and with what it may be done. The server reckons alike (kit/rules/asked.py) and has the last
 * word: what it finds against a cycle lies in its `faults`.
 */
import type { Day } from "../../wire/types";
import type { RowOf } from "../rows";
import type { BookJson, Process } from "../screening/book";
import { isOver, type MachineCard, type ProductCard } from "./facts";
import type { Kit, Product } from "./kit";
import { type Asked, type Level, LEVELS } from "./loads";

type Book = Pick<BookJson, "settings" | "processes">;

/** The maker's time counts where it is longer than the book's. */
export function askedOfMachine({ settings }: Book, process: Process, machine: MachineCard): Asked {
  const { level, celsius, indicator, wrapped } = process;
  const minutes = Math.max(process.minutes, machine.maker_minutes[process.id] ?? 0);
  const kept = wrapped ? settings.storage_days_wrapped : settings.storage_days_unwrapped;
  return { level, minutes, celsius, indicator, storage_days: kept ?? 0 };
}

/** By the product's label. */
export function askedOfProduct({ settings }: Book, product: ProductCard): Asked {
  const storage_days = settings.storage_days_unwrapped ?? 0;
  const { contact_minutes: minutes } = product;
  return { level: "disinfect", minutes, celsius: null, indicator: false, storage_days };
}

export function processOf({ processes }: Pick<Book, "processes">, id: string): Process | undefined {
  return (processes ?? []).find((one) => one.id === id);
}

/** The cycles of a machine that are enough for what needs this. */
export function processesFor({ processes = [] }: Book, machine: string, needs: Level): Process[] {
  return processes.filter((one) => one.machine === machine && reaches(one.level, needs));
}

export function reaches(level: Level, needs: Level): boolean {
  return LEVELS.indexOf(level) >= LEVELS.indexOf(needs);
}

export function isMixed({ use_ppm }: ProductCard): boolean {
  return use_ppm !== null;
}

/** Why a product cannot disinfect instruments; null where it can. */
export function againstProduct(
  card: ProductCard,
  today: Day,
): "product_for_surfaces" | "product_out_of_date" | null {
  if (card.used_for === "surfaces") return "product_for_surfaces";
  return isOver(card, today) ? "product_out_of_date" : null;
}

/** The mixes of a product that may still be used. */
export function mixesOf({ rows }: Pick<Kit, "rows">, { id, card }: Product, now: Date) {
  return rows.kit_solution.filter(
    ({ row }) =>
      row.product === id && row.thrown_away_at === null && againstSolution(row, card, now) === null,
  );
}

/** Why a cycle cannot be begun in a solution of this product; null where it can. */
export function againstSolution(
  { keeps_until, target_ppm }: RowOf<"kit_solution">,
  { use_ppm }: ProductCard,
  now: Date,
): "solution_out_of_date" | "solution_too_weak" | null {
  if (now.getTime() > Date.parse(keeps_until)) return "solution_out_of_date";
  return target_ppm < (use_ppm ?? 0) ? "solution_too_weak" : null;
}

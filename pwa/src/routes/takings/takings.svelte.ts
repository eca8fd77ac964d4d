/** What was told of money, as a live value for a screen: null until the phone's rows are read. */
import { fromStore } from "svelte/store";
import { byCurrency } from "../../domain/takings/from-rows";
import { type Books, standing } from "../../domain/takings/told";
import { type Held, store } from "../../store";
import { t } from "../../words";

export interface Takings {
  /** The practice's, for what is told from now on. */
  currency: string;
  taxAdded: boolean;
  sales: readonly Held<"sale">[];
  /** Those that nothing replaces and that were not taken back. */
  stand: readonly Held<"sale">[];
  payments: readonly Held<"payment">[];
  books: ReadonlyMap<string, Books>;
  isDoubled: (told: string) => boolean;
  clientOf: (sale: string) => string | null;
  nameOf: (sale: Held<"sale">) => string;
}

export function openTakings(): { readonly current: Takings | null } {
  const { rows } = store;
  const practices = fromStore(rows.live("practice"));
  const sales = fromStore(rows.live("sale"));
  const soldTo = fromStore(rows.live("sold_to"));
  const payments = fromStore(rows.live("payment"));
  const clients = fromStore(rows.live("client"));
  const facilities = fromStore(rows.live("facility"));
  const read = $derived.by((): Takings | null => {
    const [all, of, paid] = [sales.current, soldTo.current, payments.current];
    const [people, houses, practice] = [clients.current, facilities.current, practices.current];
    if (all === null || of === null || paid === null) return null;
    if (people === null || houses === null || practice === null) return null;
    const told = all.map((sale) => ({ ...sale.row, id: sale.id, about: null, sale }));
    const stand = standing(told)
      .map(({ sale }) => sale)
      .filter(({ row }) => row.lines.length > 0);
    const books = byCurrency(all, paid);
    const isDoubled = (told: string) => [...books.values()].some((one) => one.doubled.has(told));
    const clientOf = (sale: string) => of.find(({ id }) => id === sale)?.row.client ?? null;
    const nameOf = ({ id, row }: Held<"sale">) =>
      people.find((one) => one.id === clientOf(id))?.row.name ??
      houses.find((one) => one.id === row.facility)?.row.name ??
      t("takings.nobody");
    return {
      currency: practice[0]?.row.currency ?? "",
      taxAdded: practice[0]?.row.tax_on_top ?? false,
      sales: all,
      stand,
      payments: paid,
      books,
      isDoubled,
      clientOf,
      nameOf,
    };
  });
  return {
    get current() {
      return read;
    },
  };
}

/** The invoices, and what of the takings can be billed, as a live value: null until the phone's rows are read. */
import { fromStore } from "svelte/store";
import { latestFirst } from "../../domain/by-time";
import { paymentsOf, saleOf } from "../../domain/takings/from-rows";
import { type Bill, states } from "../../domain/takings/invoices";
import { type Held, store } from "../../store";
import { dayKey } from "../../words/format";
import { openTakings, type Takings } from "../takings/takings.svelte";
import { billOf, inOrder, type InvoiceState, stateOf } from "./bill";

export interface Told {
  invoice: Held<"invoice">;
  state: InvoiceState;
  /** All that it was made of, whatever became of them since. */
  sales: Held<"sale">[];
  bill: Bill & { currency: string; taxAdded: boolean };
  due: number;
}

export interface Invoices {
  takings: Takings;
  /** The latest first. */
  told: Told[];
  /** At facilities, and on no invoice. */
  free: Held<"sale">[];
}

export function openInvoices(): { readonly current: Invoices | null } {
  const opened = openTakings();
  const invoices = fromStore(store.rows.live("invoice"));
  const today = dayKey(store.now());
  const read = $derived.by((): Invoices | null => {
    const [takings, all] = [opened.current, invoices.current];
    if (takings === null || all === null) return null;
    const told = all
      .toSorted(latestFirst(({ row }) => row.told_at))
      .map((invoice) => toldOf(invoice, takings, today));
    return { takings, told, free: freeOf(takings, all) };
  });
  return {
    get current() {
      return read;
    },
  };
}

function toldOf(invoice: Held<"invoice">, takings: Takings, today: string): Told {
  const on = new Set(invoice.row.sales);
  const sales = inOrder(takings.sales.filter(({ id }) => on.has(id)));
  const stand = takings.stand.filter(({ id }) => on.has(id));
  const dueFor = ({ id, row }: Held<"sale">) =>
    takings.books.get(row.currency)?.unpaid.get(id) ?? 0;
  const due = stand.reduce((sum, sale) => sum + dueFor(sale), 0);
  return { invoice, sales, bill: billOf(sales), due, state: stateOf(invoice, stand, due, today) };
}

function freeOf(
  { sales, stand, payments }: Takings,
  invoices: readonly Held<"invoice">[],
): Held<"sale">[] {
  const live = invoices.filter(({ row }) => row.void_on === null);
  const billed = new Set(live.flatMap(({ row }) => row.sales));
  const found = states(sales.map(saleOf), paymentsOf(payments, sales), billed);
  return inOrder(stand.filter(({ id, row }) => row.facility !== null && found.get(id) === "free"));
}

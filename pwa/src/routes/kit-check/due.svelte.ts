/** The checklists that are due now, as a live value; none for who has no set in the kit. */
import { fromStore } from "svelte/store";
import { dueChecklists, type Occasion } from "../../domain/kit/checklists";
import { ticking } from "../../parts/ticking";
import { store } from "../../store";
import { dayKey } from "../../words/format";

const MINUTE_MS = 60_000;

export function dueNow(): { readonly list: readonly Occasion[] } {
  const session = fromStore(store.session);
  const things = fromStore(store.rows.live("kit_thing"));
  const signed = fromStore(store.rows.live("checklist"));
  const bookings = fromStore(store.rows.live("booking"));
  const visits = fromStore(store.rows.live("visit"));
  const now = ticking(MINUTE_MS);
  const list = $derived.by(() => {
    const me = session.current.staff?.id;
    const sets = things.current?.some(({ row }) => row.card.kind === "set");
    if (me === undefined || !sets || signed.current === null) return [];
    const today = dayKey(now());
    const mine = (bookings.current ?? []).filter(
      ({ row }) => row.staff === me && row.state !== "cancelled" && dayKey(row.starts_at) === today,
    );
    const states = mine.map(
      ({ id }) => visits.current?.find(({ row }) => row.booking === id)?.row.state,
    );
    const begun = states.filter((state) => state !== undefined);
    return dueChecklists({
      signed: signed.current.map(({ row }) => row),
      me,
      visits: {
        all: mine.length,
        begun: begun.length,
        over: begun.filter((state) => state !== "started").length,
      },
      now: now(),
      dayOf: dayKey,
    });
  });
  return {
    get list() {
      return list;
    },
  };
}

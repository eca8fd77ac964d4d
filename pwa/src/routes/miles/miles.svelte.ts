/** One's own travel as a live value for a screen: null until the phone's rows and the rulebook are read. */
import { fromStore } from "svelte/store";
import type { BookJson } from "../../domain/screening";
import { travelOf } from "../../domain/screening/book";
import { type Claim, claim } from "../../domain/trips/claim";
import { stopsOn, travelsOf } from "../../domain/trips/from-rows";
import { type Stop, type Way, waysOf } from "../../domain/trips/propose";
import { standing, twice } from "../../domain/trips/travel";
import { byVehicle } from "../../domain/trips/vehicles";
import { type Held, store } from "../../store";
import { t } from "../../words";
import { dayKey } from "../../words/format";

type Travels = ReturnType<typeof travelsOf>;
export interface OwnMiles {
  book: BookJson;
  vehicles: readonly Held<"vehicle">[];
  /** Those that nothing replaces. */
  stand: Travels;
  twice: ReadonlySet<string>;
  /** Null where the book does not know the place. */
  claim: Claim | null;
  vehicleYears: ReturnType<typeof byVehicle> | null;
  stopsOf: (day: string) => Stop[];
  waysOf: (day: string) => Way[];
}

export function ownMiles(): { readonly current: OwnMiles | null } {
  const { rows } = store;
  const session = fromStore(store.session);
  const book = fromStore(store.rulebook);
  const vehicles = fromStore(rows.live("vehicle"));
  const days = fromStore(rows.live("travel_day"));
  const bookings = fromStore(rows.live("booking"));
  const visits = fromStore(rows.live("visit"));
  const clients = fromStore(rows.live("client"));
  const facilities = fromStore(rows.live("facility"));
  const bases = fromStore(rows.live("base"));
  const read = $derived.by((): OwnMiles | null => {
    const held = book.current as unknown as BookJson | null;
    const me = session.current.staff?.id;
    if (held === null || me === undefined || vehicles.current === null) return null;
    if (days.current === null || bookings.current === null || visits.current === null) return null;
    if (clients.current === null || facilities.current === null) return null;
    if (bases.current === null) return null;
    const mine = vehicles.current.filter(({ row }) => row.staff === me);
    const stand = standing(travelsOf(days.current, mine));
    const visited = {
      bookings: bookings.current,
      visits: visits.current,
      clients: clients.current,
      facilities: facilities.current,
    };
    const stopsOf = (day: string) =>
      stopsOn(visited, me, (at) => dayKey(at) === day).map((stop) => ({
        ...stop,
        label: stop.label || t("miles.a_client"),
      }));
    const position = bases.current.find(({ id }) => id === me)?.row.position ?? null;
    const home = { label: t("miles.home"), position };
    return {
      book: held,
      vehicles: mine,
      stand,
      twice: twice(stand),
      claim: held.tax ? claim(stand, held.mileage_rates ?? [], held.tax) : null,
      vehicleYears: held.tax ? byVehicle(stand, held.tax) : null,
      stopsOf,
      waysOf: (day) => waysOf(home, stopsOf(day), travelOf(held)),
    };
  });
  return {
    get current() {
      return read;
    },
  };
}

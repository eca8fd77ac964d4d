/** The phone's rows as the rules take them, and the stops of a day. */
import type { RowOf } from "../rows";
import type { Stop } from "./propose";
import type { Travel } from "./travel";

interface With<R> {
  id: string;
  row: R;
}
type Vehicles = readonly With<RowOf<"vehicle">>[];

/** Each day with its row; one whose vehicle is not here yet is left out until it is. */
export function travelsOf(
  days: readonly With<RowOf<"travel_day">>[],
  vehicles: Vehicles,
): (Travel & { row: RowOf<"travel_day"> })[] {
  const known = new Map(vehicles.map(({ id, row }) => [id, row]));
  return days.flatMap(({ id, row }) => {
    const vehicle = known.get(row.vehicle);
    if (vehicle === undefined) return [];
    const { kind, unit } = vehicle;
    return [{ ...row, id, kind, unit, row }];
  });
}

interface Visited {
  bookings: readonly With<RowOf<"booking">>[];
  visits: readonly With<RowOf<"visit">>[];
  clients: readonly With<RowOf<"client">>[];
  facilities: readonly With<RowOf<"facility">>[];
}

/** Where somebody went on a day, in the order in which they did: also to a door that stayed shut. */
export function stopsOn(given: Visited, staff: string, isOn: (at: string) => boolean): Stop[] {
  const [clients, facilities] = [byId(given.clients), byId(given.facilities)];
  const began = new Map(given.visits.map(({ row }) => [row.booking, row.started_at]));
  return given.bookings
    .filter(({ row }) => row.staff === staff && row.state !== "cancelled" && isOn(row.starts_at))
    .map(({ id, row }) => ({ row, at: Date.parse(began.get(id) ?? row.starts_at) }))
    .sort((a, b) => a.at - b.at)
    .map(({ row }): Stop => {
      const client = clients.get(row.client);
      const house = row.place === "facility" ? facilities.get(client?.facility ?? "") : undefined;
      const [label, position] = house
        ? [house.name, house.position]
        : [client?.address ?? "", client?.position];
      return { label, position: position ?? null, purpose: house ? "facility" : "client" };
    });
}

function byId<R>(held: readonly With<R>[]): Map<string, R> {
  return new Map(held.map(({ id, row }) => [id, row]));
}

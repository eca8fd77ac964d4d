/** What is done about clients, houses and incidents. Null where there is nothing to do it to. */
import type { Deed, Form, Hand } from "./hand";

export async function registerClient(hand: Hand): Promise<Form | null> {
  const houses = await hand.rows("facility");
  const facility =
    houses.length > 0 && hand.number(2) === 0 ? hand.one(houses).id : null;
  const name = `Client Invented ${hand.number(50)}`;
  const card = hand.form("client", { client: hand.id(), name, facility });
  if (hand.role !== "coordinator") return card;
  delete card["note"];
  return houses.length === 0
    ? null
    : { ...card, facility: hand.one(houses).id };
}

export async function amendClient(hand: Hand): Promise<Form | null> {
  const clients = await hand.rows("client");
  if (clients.length === 0) return null;
  const { id, version } = hand.one(clients);
  const text = `changed ${hand.number(1000)}`;
  const status = hand.one(["active", "in_hospital", "moved_away", "died"]);
  const changes =
    hand.number(4) === 0
      ? { status, status_since: hand.day() }
      : { [hand.one(["phone", "room", "address", "contact_name"])]: text };
  return { client: id, seen: version, changes };
}

export async function unassignClient(hand: Hand): Promise<Form | null> {
  const given = (await hand.rows("client")).filter(
    ({ row }) => row.staff.length > 0,
  );
  if (given.length === 0) return null;
  const { id, row } = hand.one(given);
  return { client: id, staff: hand.one(row.staff) };
}

export async function assignFacility(hand: Hand): Promise<Form | null> {
  const houses = await hand.rows("facility");
  return houses.length === 0
    ? null
    : { facility: hand.one(houses).id, staff: await hand.somebody() };
}

export async function closeIncident(hand: Hand): Promise<Form | null> {
  const open = (await hand.rows("incident")).filter(
    ({ row }) => row.closed_at === null,
  );
  return open.length === 0
    ? null
    : { incident: hand.one(open).id, note: "Talked it over" };
}

/** The same person entered twice, as the owner sees it; now and then two who are not. */
export async function mergeClients(hand: Hand): Promise<Form | null> {
  const clients = await hand.rows("client");
  const stays = clients.length === 0 ? null : hand.one(clients);
  const others = clients.filter(({ id }) => id !== stays?.id);
  return stays === null || others.length === 0
    ? null
    : { stays: stays.id, goes: hand.one(others).id };
}

export async function assignClient(hand: Hand): Promise<Form | null> {
  return hand.withClient({ staff: await hand.somebody() });
}

export function registerFacility(hand: Hand): Promise<Form> {
  return Promise.resolve({
    facility: hand.id(),
    name: "Invented House",
    address: "",
    phone: "",
  });
}

/** A new one, and who goes there. */
export async function houseWithSomebody(hand: Hand): Promise<Deed[]> {
  const house = await registerFacility(hand);
  const { facility } = house;
  const args = { facility, staff: await hand.somebody() };
  return [
    { name: "register_facility", args: house },
    { name: "assign_facility", args },
  ];
}

export async function amendFacility(hand: Hand): Promise<Form | null> {
  const houses = await hand.rows("facility");
  if (houses.length === 0) return null;
  const { id, version } = hand.one(houses);
  const times = [{ name: "Lunch", starts: "12:00", ends: "13:00" }];
  const changes = hand.one<Form>([
    { quiet_times: times },
    { corridors: [`Corridor ${hand.number(9)}`] },
    { phone: `555 ${hand.number(1000)}` },
  ]);
  return { facility: id, seen: version, changes };
}

export async function importResidents(hand: Hand): Promise<Form | null> {
  const houses = await hand.rows("facility");
  if (houses.length === 0) return null;
  const facility = hand.one(houses).id;
  const living = (await hand.rows("client")).filter(
    ({ row }) => row.facility === facility,
  );
  const name = `Client Invented ${hand.number(50)}`;
  const born = `19${30 + hand.number(60)}-03-31`;
  const changed = living.slice(0, 1).map(({ id, version }) => ({
    client: id,
    seen: version,
    changes: { room: `${hand.number(40)}` },
  }));
  return {
    facility,
    new: [{ client: hand.id(), name, born, room: "7" }],
    changed,
  };
}

/** The simulator's server has no road map. */
export function chooseRoads(hand: Hand): Promise<Form> {
  return Promise.resolve({ roads: hand.one(["straight_lines", "own_map"]) });
}

export function setOfflineLease(hand: Hand): Promise<Form> {
  return Promise.resolve({ days: 1 + hand.number(30) });
}

export function shareCalendar(hand: Hand): Promise<Form> {
  const link = hand.id();
  const secret_sha256 = link.replaceAll("-", "").repeat(2);
  return Promise.resolve({ link, secret_sha256 });
}

export async function endCalendar(hand: Hand): Promise<Form | null> {
  const links = await hand.rows("calendar_link");
  return links.length === 0 ? null : { link: hand.one(links).id };
}

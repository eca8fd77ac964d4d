/** What the commands about clients, facilities and staff do to the phone's rows. */
import type { RowKind, RowOf } from "../rows";
import { amend, type Effect, handOver, put, remove } from "./change";

// An older app that was updated may still have cards to send that say nothing of it.
const UNASKED = {
  ...{ status: "active" as const, status_since: null, corridor: "", see_last: false },
  ...{ visit_times: [], preferred_staff: null, may_wait: false, needs_skills: [] },
  entry_note: "",
};

const BLANK = {
  address: "",
  phone: "",
  email: "",
  room: "",
  contact_name: "",
  contact_phone: "",
  contact_role: "",
  decides_for_self: true,
  note: "",
} as const;

export const registerClient: Effect<"register_client"> = ({ client, ...card }, made) => [
  put("client", client, { ...UNASKED, ...card, staff: [made.staff], merged: [] }, client),
];

export const amendClient: Effect<"amend_client"> = ({ client, changes }) => [
  amend("client", client, changes),
];

type OfAClient = {
  [K in RowKind]: "client" extends keyof RowOf<K> ? K : never;
}[RowKind];

// By kind, so that one that is new can't be left out.
const OF_A_CLIENT: Record<OfAClient, true> = {
  health_screen: true,
  foot_check: true,
  referral: true,
  clearance: true,
  consent: true,
  consent_choice: true,
  signing_offer: true,
  photo: true,
  booking: true,
  visit: true,
  mishap: true,
  kit_use: true,
  not_ready: true,
  resident_state: true,
  incident: true,
  sold_to: true,
  waiting: true,
};

// What the card that stays takes over from the other, the server says.
export const mergeClients: Effect<"merge_clients"> = ({ stays, goes }) => [
  ...(Object.keys(OF_A_CLIENT) as OfAClient[]).map((kind) => handOver(kind, goes, stays)),
  remove("client", goes),
  amend("client", stays, (row) => ({ merged: withIn(row.merged ?? [], goes) })),
];

export const assignClient: Effect<"assign_client"> = ({ client, staff }) => [
  amend("client", client, (row) => ({ staff: withIn(row.staff, staff) })),
];

export const unassignClient: Effect<"unassign_client"> = ({ client, staff }) => [
  amend("client", client, (row) => ({ staff: without(row.staff, staff) })),
];

export const registerFacility: Effect<"register_facility"> = ({ facility, ...card }) => [
  put("facility", facility, { quiet_times: [], corridors: [], ...card, staff: [] }, null),
];

export const amendFacility: Effect<"amend_facility"> = ({ facility, changes }) => [
  amend("facility", facility, changes),
];

// Who has the house, and so has them, the server says.
export const importResidents: Effect<"import_residents"> = (
  { facility, new: taken, changed },
  made,
) => [
  ...taken.map(({ client, ...card }) =>
    put(
      "client",
      client,
      { ...BLANK, ...UNASKED, ...card, facility, staff: [made.staff], merged: [] },
      client,
    ),
  ),
  // A field of the change that is left out is left as it is.
  ...changed.map(({ client, changes }) =>
    amend("client", client, changes as Partial<RowOf<"client">>),
  ),
];

// Those who live there are given as well; who they are, the server knows best.
export const assignFacility: Effect<"assign_facility"> = ({ facility, staff }) => [
  amend("facility", facility, (row) => ({ staff: withIn(row.staff, staff) })),
];

export const registerStaff: Effect<"register_staff"> = ({ staff, ...card }) => [
  put("staff", staff, { ...card, ended: false }, null),
];

export const revokeDevice: Effect<"revoke_device"> = ({ device, save_unsent }, made) => [
  amend("device", device, (row) => ({ revoked_at: row.revoked_at ?? made.at, save_unsent })),
];

// A phone has its own practice's row and no other.
export const setOfflineLease: Effect<"set_offline_lease"> = ({ days }) => [
  {
    kind: "practice",
    id: null,
    scope: null,
    becomes: (row) => row && { ...row, lease_days: days },
  },
];

export const chooseRoads: Effect<"choose_roads"> = ({ roads }) => [
  { kind: "practice", id: null, scope: null, becomes: (row) => row && { ...row, roads } },
];

// The book that comes of it, the server makes: nothing is judged by it before.
export const adoptPracticeRules: Effect<"adopt_practice_rules"> = ({ text }) => [
  {
    kind: "practice",
    id: null,
    scope: null,
    becomes: (row) => row && { ...row, own_rules: text, own_rules_fault: "" },
  },
];

function withIn(ids: readonly string[], id: string): string[] {
  return [...without(ids, id), id].sort();
}

function without(ids: readonly string[], id: string): string[] {
  return ids.filter((other) => other !== id);
}

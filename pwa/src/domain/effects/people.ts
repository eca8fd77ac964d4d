/** What the commands about clients, facilities and staff do to the phone's rows. */
import type { RowKind } from "../rows";
import { amend, type Effect, handOver, put, remove } from "./change";

// An older app that was updated may still have cards to send that say nothing of it.
const ACTIVE = { status: "active", status_since: null } as const;

export const registerClient: Effect<"register_client"> = ({ client, ...card }, made) => [
  put("client", client, { ...ACTIVE, ...card, staff: [made.staff], merged: [] }, client),
];

export const amendClient: Effect<"amend_client"> = ({ client, changes }) => [
  amend("client", client, changes),
];

const OF_A_CLIENT = [
  "health_screen",
  "foot_check",
  "referral",
  "clearance",
  "consent",
  "booking",
  "visit",
  "incident",
] as const satisfies readonly RowKind[];

// What the card that stays takes over from the other, the server says.
export const mergeClients: Effect<"merge_clients"> = ({ stays, goes }) => [
  ...OF_A_CLIENT.map((kind) => handOver(kind, goes, stays)),
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
  put("facility", facility, { ...card, staff: [] }, null),
];

// Those who live there are given as well; who they are, the server knows best.
export const assignFacility: Effect<"assign_facility"> = ({ facility, staff }) => [
  amend("facility", facility, (row) => ({ staff: withIn(row.staff, staff) })),
];

export const registerStaff: Effect<"register_staff"> = ({ staff, ...card }) => [
  put("staff", staff, { ...card, ended: false }, null),
];

export const revokeDevice: Effect<"revoke_device"> = ({ device }, made) => [
  amend("device", device, { revoked_at: made.at }),
];

function withIn(ids: readonly string[], id: string): string[] {
  return [...without(ids, id), id].sort();
}

function without(ids: readonly string[], id: string): string[] {
  return ids.filter((other) => other !== id);
}

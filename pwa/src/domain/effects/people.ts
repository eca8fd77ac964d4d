/** What the commands about clients, facilities and staff do to the phone's rows. */
import { amend, type Effect, put } from "./change";

export const registerClient: Effect<"register_client"> = ({ client, ...card }) => [
  put("client", client, card, client),
];

export const amendClient: Effect<"amend_client"> = ({ client, changes }) => [
  amend("client", client, changes),
];

export const registerFacility: Effect<"register_facility"> = ({ facility, ...card }) => [
  put("facility", facility, card, null),
];

export const registerStaff: Effect<"register_staff"> = ({ staff, ...card }) => [
  put("staff", staff, { ...card, ended: false }, null),
];

export const revokeDevice: Effect<"revoke_device"> = ({ device }, made) => [
  amend("device", device, { revoked_at: made.at }),
];

/** What the commands about vehicles and travel do to the phone's rows. */
import { amend, type Effect, put } from "./change";

export const registerVehicle: Effect<"register_vehicle"> = ({ vehicle, ...card }, { staff }) => [
  put("vehicle", vehicle, { ...card, staff, given_up: false }, null),
];

export const amendVehicle: Effect<"amend_vehicle"> = ({ vehicle, name, plate, given_up }) => [
  amend("vehicle", vehicle, { name, plate, given_up }),
];

export const recordTravel: Effect<"record_travel"> = ({ travel, ...told }, made) => [
  put("travel_day", travel, { ...told, staff: made.staff, told_at: made.at }, null),
];

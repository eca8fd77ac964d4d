/** What the commands about bookings do to the phone's rows. */
import { amend, type Effect, put } from "./change";

export const bookVisit: Effect<"book_visit"> = ({ booking, ...booked }) => [
  put("booking", booking, { ...booked, state: "booked", cancel_reason: "" }, booked.client),
];

export const moveBooking: Effect<"move_booking"> = ({ booking, starts_at, minutes, staff }) => [
  amend("booking", booking, { starts_at, minutes, staff }),
];

export const cancelBooking: Effect<"cancel_booking"> = ({ booking, reason }) => [
  amend("booking", booking, { state: "cancelled", cancel_reason: reason }),
];

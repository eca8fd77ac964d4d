/** What the commands about bookings do to the phone's rows. */
import type { RowOf } from "../rows";
import { amend, type Effect, put, remove } from "./change";

const NEW: Omit<RowOf<"booking">, "client" | "staff" | "starts_at" | "minutes" | "place"> = {
  ...{ service: "", state: "booked" as const, reason: "", cancel_reason: "" },
  ...{ series: null, round: null, place_in_round: null },
};

export const bookVisit: Effect<"book_visit"> = ({ booking, meant: _, ...booked }) => [
  put("booking", booking, { ...NEW, ...booked }, booked.client),
];

/** Of those that stand already, what was said of them is kept. */
export const arrangeVisits: Effect<"arrange_visits"> = ({ visits }) =>
  visits.map(({ booking, seen, client, ...stands }) =>
    seen === null
      ? put("booking", booking, { ...NEW, client, ...stands }, client)
      : amend("booking", booking, stands),
  );

export const bookSeries: Effect<"book_series"> = ({ series, visits, ...args }) => {
  const { client, staff, minutes, place, service } = args;
  return visits.map(({ booking, starts_at }) => {
    const row = { ...NEW, client, staff, starts_at, minutes, place, service, series };
    return put("booking", booking, row, client);
  });
};

export const cancelSeries: Effect<"cancel_series"> = ({ visits, code, reason }) =>
  visits.map(({ booking }) =>
    amend("booking", booking, { state: "cancelled", reason: code, cancel_reason: reason }),
  );

export const planRound: Effect<"plan_round"> = (
  { round, facility, day, note, visits, ...args },
  made,
) => [
  put("round", round, { facility, day, note, state: "planned" }, facility),
  ...arrangeVisits({ visits, meant: args.meant }, made),
  ...visits.map(({ booking }, place_in_round) =>
    amend("booking", booking, { round, place_in_round }),
  ),
];

export const closeRound: Effect<"close_round"> = ({ round, note }) => [
  amend("round", round, (row) => ({ state: "closed" as const, note: note || row.note })),
];

export const cancelRound: Effect<"cancel_round"> = ({ round, stops, code, reason }) => [
  ...stops.map(({ booking }) =>
    amend("booking", booking, { state: "cancelled", reason: code, cancel_reason: reason }),
  ),
  amend("round", round, { state: "cancelled" }),
];

export const moveBooking: Effect<"move_booking"> = ({ booking, starts_at, minutes, staff }) => [
  amend("booking", booking, { starts_at, minutes, staff }),
];

export const cancelBooking: Effect<"cancel_booking"> = ({ booking, code, reason }) => [
  amend("booking", booking, { state: "cancelled", reason: code ?? "", cancel_reason: reason }),
];

/** Of a visit that was made, it is not believed. */
export const recordNotSeen: Effect<"record_not_seen"> = ({ booking, code, reason }) => [
  amend("booking", booking, ({ state }) =>
    state === "done" ? {} : { state: "not_seen" as const, reason: code, cancel_reason: reason },
  ),
];

/** A note that is not sent is left as it is. */
export const waitForVisit: Effect<"wait_for_visit"> = ({ waiting, seen: _, note, ...wish }) => {
  const row = { ...wish, ...(typeof note === "string" ? { note } : {}) };
  return [put("waiting", waiting, { ...row, state: "waiting", reason: "" }, wish.client)];
};

export const stopWaiting: Effect<"stop_waiting"> = ({ waiting, code }) => [
  amend("waiting", waiting, { state: "stopped", reason: code }),
];

export const setWorkingWeek: Effect<"set_working_week"> = ({ staff, days, skills }) => [
  put("working_week", staff, { days, skills }, null),
];

export const setBase: Effect<"set_base"> = ({ staff, position }) => [
  put("base", staff, { position }, null),
];

export const addTimeOff: Effect<"add_time_off"> = ({ time_off, ...days }) => [
  put("time_off", time_off, days, null),
];

/** A person has one link at a time. */
export const shareCalendar: Effect<"share_calendar"> = ({ link }, { staff, at }) => [
  {
    kind: "calendar_link",
    id: null,
    scope: null,
    becomes: (row) => (row?.["staff"] === staff ? null : row),
  },
  put("calendar_link", link, { staff, made_at: at, fetched_on: null }, staff),
];

export const endCalendar: Effect<"end_calendar"> = ({ link }) => [remove("calendar_link", link)];

export const removeTimeOff: Effect<"remove_time_off"> = ({ time_off }) => [
  remove("time_off", time_off),
];

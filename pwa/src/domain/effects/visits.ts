/** What the commands about visits and incidents do to the phone's rows. */
import { amend, type Effect, type Made, put } from "./change";

export const startVisit: Effect<"start_visit"> = ({ visit, seen_booking, ...started }, made) => [
  put(
    "visit",
    visit,
    { ...started, ...by(made), state: "started", ended_at: null, record: {} },
    started.client,
  ),
];

export const completeVisit: Effect<"complete_visit"> = (record, made) => {
  const { visit, booking, client, screen, check, consent, started_at, ended_at } = record;
  const named = { booking, client, screen, check, consent, started_at, ended_at };
  const state = record.ended_early === "" ? "completed" : "ended_early";
  return [
    put("visit", visit, { ...named, ...by(made), state, record }, client),
    amend("booking", booking, { state: "done" }),
  ];
};

export const closeIncident: Effect<"close_incident"> = ({ incident, note }, made) => [
  amend("incident", incident, { closed_at: made.at, closing_note: note }),
];

function by({ staff, rulebook }: Made) {
  return { staff, rulebook };
}

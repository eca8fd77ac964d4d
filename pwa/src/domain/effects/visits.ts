/** What the commands about visits and incidents do to the phone's rows. */
import { amend, type Effect, type Made, put } from "./change";
import { kitUsed } from "./kit";

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
    ...kitUsed(record.kit, { client, visit }, made),
  ];
};

export const closeIncident: Effect<"close_incident"> = ({ incident, note }, made) => [
  amend("incident", incident, { closed_at: made.at, closing_note: note }),
];

export const reportMishap: Effect<"report_mishap"> = ({ mishap, ...told }, made) => {
  const visit_stopped = told.visit_stopped ?? false;
  const row = { ...told, visit_stopped, ...by(made), entries: [], closed_at: null };
  return [put("mishap", mishap, row, told.client)];
};

// What is added opens a closed one again; an outcome ends the follow-up, unless a new day comes with it.
export const addToMishap: Effect<"add_to_mishap"> = (
  { mishap, entry: id, ...added },
  { staff },
) => [
  amend("mishap", mishap, (row) =>
    has(row.entries, id)
      ? {}
      : {
          entries: [...row.entries, { id, ...added, staff, closes: false }],
          follow_up_on: added.follow_up_on ?? (added.outcome === "" ? row.follow_up_on : null),
          closed_at: null,
        },
  ),
];

export const closeMishap: Effect<"close_mishap"> = ({ mishap, entry: id, note }, { staff, at }) => {
  const closing = { told: [], follow_up_on: null, outcome: "", closes: true };
  const entry = { id, staff, added_at: at, note, ...closing };
  return [
    amend("mishap", mishap, (row) =>
      has(row.entries, id) ? {} : { entries: [...row.entries, entry], closed_at: at },
    ),
  ];
};

/** The server may have it already, and the phone not know so yet. */
function has(entries: readonly { id: string }[], id: string): boolean {
  return entries.some((entry) => entry.id === id);
}

function by({ staff, rulebook }: Made) {
  return { staff, rulebook };
}

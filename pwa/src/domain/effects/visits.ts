/** What the commands about visits and incidents do to the phone's rows. */
import { amend, type Effect, put } from "./change";

export const startVisit: Effect<"start_visit"> = ({ visit, ...started }) => [
  put("visit", visit, { ...started, state: "started" }, started.client),
];

export const completeVisit: Effect<"complete_visit"> = ({ visit, ...done }) => [
  put(
    "visit",
    visit,
    { ...done, state: done.ended_early === "" ? "completed" : "ended_early" },
    done.client,
  ),
  amend("booking", done.booking, { state: "done" }),
];

export const closeIncident: Effect<"close_incident"> = ({ incident, note }) => [
  amend("incident", incident, { state: "closed", note }),
];

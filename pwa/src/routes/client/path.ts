/** The steps from the door to the sign-off for one client, each with how it stands now. */
import { away } from "../../domain/absent";
import { heldByOutcome, STEP_OF } from "../../domain/standing";
import { refers } from "../../domain/findings";
import { dayKey } from "../../words/format";
import { endedEarly } from "../visit/state-word";
import type { ClientFile } from "./file";

export type StepId = "screen" | "feet" | "outcome" | "consent" | "visit";
export type StepState = "done" | "next" | "later" | "held" | "refused";
export interface PathStep {
  id: StepId;
  state: StepState;
  to: string;
  /** Of a visit that is done: it was not done whole. */
  early?: boolean;
}

export function pathOf(file: ClientFile): PathStep[] {
  const open = file.standing.reasons;
  const done = file.visits.find(
    ({ row }) => row.state !== "started" && dayKey(row.started_at) === file.day,
  );
  const stopped = heldByOutcome(open) && outcomeStands(file);
  // While the outcome holds the client there is no next step: it says what to do instead.
  let nextGiven = done !== undefined || stopped;
  const begun = file.visits.some(({ row }) => row.state === "started");
  const refused = open.includes("clinician_said_no") && !begun;
  const absent = away(file.client) && !begun && done === undefined;

  const at = `#/client/${file.id}`;

  const step = (id: StepId, wanting: boolean, held: boolean, to: string): PathStep => {
    if (held) return { id, state: "held", to };
    if (!wanting) return { id, state: "done", to };
    // After a clinician's no nothing more is to be done, unless a visit has begun: that must be ended.
    if (refused) return { id, state: "refused", to: `${at}/outcome` };
    const state = nextGiven ? "later" : "next";
    nextGiven = true;
    return { id, state, to };
  };
  const wants = (id: Exclude<StepId, "visit">) => open.some((reason) => STEP_OF[reason] === id);

  return [
    step("screen", wants("screen"), false, `${at}/screen`),
    step("feet", wants("feet"), false, `${at}/feet`),
    step("outcome", !judgedToday(file), stopped, `${at}/outcome`),
    step("consent", wants("consent"), false, `${at}/consent`),
    {
      ...step("visit", done === undefined, absent, visitAt(file, done?.id)),
      early: done !== undefined && endedEarly(done.row),
    },
  ];
}

/**
 * A "go" from older records says nothing about today; a referral stands until it is answered. What the health
 * questions of today ask a clinician for stands before anybody has looked at the feet.
 */
export function outcomeStands(file: ClientFile): boolean {
  return judgedToday(file) || refersOn(file) || waitsAlready(file);
}

function waitsAlready({ standing: { reasons } }: ClientFile): boolean {
  return (
    reasons.includes("needs_clearance") && !reasons.some((reason) => STEP_OF[reason] === "screen")
  );
}

export function judgedToday(file: ClientFile): boolean {
  return !file.standing.reasons.some((reason) => ["screen", "feet"].includes(STEP_OF[reason]));
}

function refersOn(file: ClientFile): boolean {
  const { outcome, reasons } = file.standing;
  if (reasons.includes("referral_unanswered") || reasons.includes("clinician_said_no")) return true;
  // Once it is answered, asking again is the next step.
  if (reasons.includes("screen_before_answer")) return false;
  return outcome !== null && refers(outcome);
}

function visitAt(file: ClientFile, done: string | undefined): string {
  if (done !== undefined) return `#/visit/${done}/aftercare`;
  const booking = visitBooking(file);
  return booking === null ? `#/client/${file.id}/book` : `#/booking/${booking}/visit`;
}

/** The booking a visit would be for: one that has begun, else the first that is still booked. */
function visitBooking(file: ClientFile): string | null {
  const started = file.visits.find(({ row }) => row.state === "started");
  if (started) return started.row.booking;
  return stillBooked(file)[0]?.id ?? null;
}

/** A visit under review leaves its booking open on record, though it was made. */
export function stillBooked(file: ClientFile): ClientFile["bookings"] {
  const made = new Set(
    file.visits.filter(({ row }) => row.state !== "started").map(({ row }) => row.booking),
  );
  return file.bookings.filter(({ id, row }) => row.state === "booked" && !made.has(id));
}

/** Bookings that nothing came of, whoever called them off, the latest first. */
export function nothingCame({ bookings }: Pick<ClientFile, "bookings">): ClientFile["bookings"] {
  return bookings
    .filter(({ row }) => row.state === "cancelled" || row.state === "not_seen")
    .toReversed();
}

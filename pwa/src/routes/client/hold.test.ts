/** What is said of a hold where a visit is planned, and what is then suggested. Check: our own rule, no source. */
import { beforeAll, describe, expect, it } from "vitest";

import type { StandingReason } from "../../domain/standing";
import type { Held } from "../../store";
import { setPlace } from "../../words/format";
import { suggested } from "../booking/suggested";
import { stopsOf } from "../today/stops";
import type { ClientFile } from "./file";
import { holdOf } from "./hold";

const NOW = new Date("2026-11-27T12:00:00Z");

beforeAll(() => {
  setPlace({ zone: "UTC", units: "mm" }, ["en-GB"]);
});

function letter(id: string, level: string, ...verdicts: string[]): Held<"referral"> {
  const answers = verdicts.map((verdict) => ({
    ...{ verdict, answered_on: "2026-11-26", recorded_at: "2026-11-26T12:00:00Z" },
  }));
  return {
    id,
    row: { client: "c", level, answers, answer_recorded_at: null },
  } as unknown as Held<"referral">;
}

function file(reasons: StandingReason[], ...waiting: Held<"referral">[]): ClientFile {
  return { standing: { reasons }, waiting, visits: [], bookings: [] } as unknown as ClientFile;
}

const no = letter("no", "needs_clearance", "may_not");
const referral = letter("r", "refer_first");
const asks = letter("k", "needs_clearance");

describe("what holds a client", () => {
  it.each([
    ["a no before all else", file(["clinician_said_no"], referral, no), "clinician_said_no", "no"],
    [
      "a referral",
      file(["referral_unanswered", "no_screen"], referral, asks),
      "referral_unanswered",
      "r",
    ],
    ["what was found today", file(["refer_first"]), "refer_first", undefined],
    ["a clearance that is asked for", file(["no_screen"], asks), "needs_clearance", "k"],
    ["a clearance with no letter", file(["needs_clearance"]), "needs_clearance", undefined],
  ])("is %s", (_, held, reason, by) => {
    expect(holdOf(held)).toEqual({ reason, letter: held.waiting.find(({ id }) => id === by) });
    expect(suggested(held, null, null, NOW).day).toBe("");
  });

  it("is, to a coordinator, that a resident is not ready", () => {
    expect(suggested(file(["no_screen"]), null, null, NOW, "practice").day).toBe("");
  });

  it.each([
    ["nothing", file([])],
    [
      "not what is asked and signed at the door",
      file(["no_screen", "no_foot_check", "no_consent"]),
    ],
    ["not a referral that is answered", file(["screen_before_answer", "refer_first"])],
  ])("is %s", (_, free) => {
    expect(holdOf(free)).toBeNull();
    expect(suggested(free, null, null, NOW).day).toBe("2026-11-27");
  });
});

it("says a no on the line of the day, beside whatever else waits", () => {
  const booking = {
    id: "b",
    row: { client: "c", staff: "s", starts_at: NOW.toISOString(), state: "booked", place: "home" },
  } as unknown as Held<"booking">;
  const none = { clients: [], visits: [], facilities: [], staff: [], me: null, travel: null };
  const day = {
    ...none,
    bookings: [booking],
    day: "d",
    dayOf: () => "d",
    notReadyOn: () => undefined,
  };
  expect(stopsOf({ ...day, waiting: [referral, no] })).toMatchObject([
    { waits: "refer_first", said_no: true },
  ]);
  expect(stopsOf({ ...day, waiting: [referral] })).toMatchObject([{ said_no: false }]);
});

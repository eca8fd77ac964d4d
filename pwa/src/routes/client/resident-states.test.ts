/** What a phone makes of what it was told, and of the records. Check: our own rule. */
import { describe, expect, it } from "vitest";

import type { BookJson } from "../../domain/screening";
import type { Held } from "../../store";
import type { AnyConsent } from "./decided";
import { statesOn, toldBy, toldFrom } from "./resident-states";

const BOOK = {
  settings: { screen_valid_hours: 24, consent_renew_days: 365, screen_recent_days: 91 },
} as unknown as BookJson;
const NOW = new Date("2026-12-01T12:00:00Z");
const yes = (signed_at: string, more: object = {}) =>
  ({
    id: signed_at,
    row: { signed_at, withdrawn_at: null, agreed: true, signer_role: "client", ...more },
  }) as unknown as AnyConsent;
const screen = (at: string, slip = false) =>
  ({
    id: at,
    row: { screened_at: at, entered_in_error: slip },
  }) as unknown as Held<"health_screen">;
const visit = (at: string, weeks: number) =>
  ({
    id: at,
    row: { started_at: at, state: "completed", record: { weeks_until_next: weeks } },
  }) as unknown as Held<"visit">;
const card = (decides = true) =>
  ({ decides_for_self: decides, may_wait: false }) as Held<"client">["row"];

describe("from the records", () => {
  const said = [yes("2026-11-01T10:00:00Z")];
  it("the newest of each counts", () => {
    const screens = [screen("2026-08-01T10:00:00Z"), screen("2026-11-01T10:00:00Z")];
    const told = toldFrom(
      { screens, said, visits: [visit("2026-11-02T10:00:00Z", 8)] },
      card(),
      BOOK,
      NOW,
    );
    expect(told).toMatchObject({
      consent_until: "2027-11-01",
      screen_until: "2027-01-31",
      due: { first: "2026-12-21", last: "2027-01-04" },
    });
  });

  it("their own word does not hold for somebody who can't decide, nor a screen that was a slip", () => {
    const told = toldFrom(
      { screens: [screen("2026-11-01T10:00:00Z", true)], said, visits: [] },
      card(false),
      BOOK,
      NOW,
    );
    expect(told).toEqual({ consent_until: null, screen_until: null, due: null });
  });

  it("a no that came later ends it", () => {
    const no = yes("2026-11-02T10:00:00Z", { agreed: false });
    const told = toldFrom({ screens: [], said: [...said, no], visits: [] }, card(), BOOK, NOW);
    expect(told.consent_until).toBeNull();
  });
});

describe("as it was told", () => {
  const row = {
    client: "a",
    consent_until: "2027-11-01",
    screen_until: "2026-12-01",
    due_first: "2026-12-01",
    due_last: null,
  };
  it("the days that were told hold, and no due day without its end", () => {
    const told = toldBy(row, [yes("2026-11-01T10:00:00Z")]);
    expect(told.due).toBeNull();
    expect(statesOn(told, "2026-12-02")).toEqual({ consent: "stands", screen: "due" });
  });

  it("a consent that was taken back on this phone is none, whatever was told", () => {
    const told = toldBy(row, [yes("2026-11-01T10:00:00Z", { withdrawn_at: "2026-11-30" })]);
    expect(statesOn(told, "2026-12-01").consent).toBe("missing");
  });

  it("a server from before says nothing: a consent on record stands", () => {
    expect(statesOn(toldBy(undefined, [yes("2020-11-01T10:00:00Z")]), "2026-12-01").consent).toBe(
      "stands",
    );
  });
});

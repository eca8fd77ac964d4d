/** What is said of the sync, and in which order of urgency. Check: our own words, no published source. */
import { describe, expect, it } from "vitest";

import type { SyncState } from "../store";
import type { AppKept } from "./app-kept";
import { type LeaseTime, syncWarnings, syncWords } from "./sync-words";

const CALM: SyncState = {
  state: "idle",
  detail: null,
  pending: 0,
  oldest_pending_at: null,
  photos_pending: 0,
  photos_damaged: 0,
  refused: 0,
  last_ok_at: "2026-11-25T08:00:00Z",
  checked: true,
  slow: false,
  clock_off_seconds: 0,
  storage_kept: true,
  storage_nearly_full: false,
};
const WAITING: Partial<SyncState> = { pending: 2, oldest_pending_at: "2026-11-23T10:00:00Z" };
const DAY = 86_400;

function words(change: Partial<SyncState>): string {
  return syncWords({ ...CALM, ...change });
}

function warnings(
  change: Partial<SyncState>,
  lease: LeaseTime | null = null,
  kept: AppKept = "yes",
): string[] {
  return syncWarnings({ ...CALM, ...change }, lease, kept).map(({ text }) => text);
}

describe("the line that is always there", () => {
  it("says that all is sent only after the server has been asked", () => {
    expect(words({})).toBe("All sent");
    expect(words({ checked: false })).toMatch(/^Last in step with the practice Wed/);
    expect(words({ checked: false, last_ok_at: null })).toBe("Not checked with the practice yet");
    expect(words({ state: "waiting", detail: "server_trouble" })).not.toBe("All sent");
  });

  it("names what waits here in every state that is not asking", () => {
    for (const state of ["idle", "waiting", "offline"] as const)
      expect(words({ state, ...WAITING })).toBe("2 entries kept here, not sent yet");
  });

  it("says that it is still being tried, and that work goes on", () => {
    expect(words({ state: "sending", ...WAITING, slow: true })).toMatch(/^Still trying to send 2/);
    expect(words({ state: "fetching", slow: true })).toMatch(/^Still trying to reach the server/);
    expect(words({ state: "sending", pending: 0 })).toBe("Fetching news");
  });

  it("says when another tab is at it, and why it has stopped", () => {
    expect(words({ state: "other_tab" })).toMatch(/^Another tab/);
    expect(words({ state: "stopped", detail: "app_out_of_date" })).toMatch(/still sent/);
  });
});

describe("what is warned of", () => {
  it("is nothing while all is well, or while only the connection is missing", () => {
    expect(warnings({})).toEqual([]);
    expect(warnings({ state: "offline", detail: "no_connection", ...WAITING })).toEqual([]);
  });

  it("names number and age of what a browser may clear, and only where something waits", () => {
    expect(warnings({ storage_kept: false })).toEqual([]);
    expect(warnings({ storage_kept: false, ...WAITING })[0]).toMatch(
      /^2 entries are only on this phone, the oldest since Mon.*23/,
    );
  });

  it.each([
    [2 * DAY, "2 days ahead"],
    [-3 * DAY, "3 days behind"],
    [2 * 3600, "2 hours ahead"],
    [-1000, "17 minutes behind"],
    [5400, "2 hours ahead"],
    [5300, "88 minutes ahead"],
  ])("says a clock that is %s s off", (clock_off_seconds, said) => {
    expect(warnings({ clock_off_seconds })[0]).toContain(said);
  });

  it("has a short form for the strip", () => {
    const [clock] = syncWarnings({ ...CALM, clock_off_seconds: 2 * DAY }, null, "yes");
    expect(clock?.short).toBe("Clock is 2 days ahead");
  });

  it("leaves the phone's own trouble to its own place", () => {
    expect(warnings({ state: "waiting", detail: "storage_full" })).toEqual([]);
  });

  it("says that the app would not open without a signal yet", () => {
    expect(warnings({}, null, "not_yet")).toEqual([expect.stringContaining("Stay where there is")]);
    expect(warnings({}, null, "never")).toEqual([
      expect.stringContaining("window that is not private"),
    ]);
  });

  it("lets minutes pass", () => {
    expect(warnings({ clock_off_seconds: 299 })).toEqual([]);
    expect(warnings({ clock_off_seconds: -299 })).toEqual([]);
  });

  it("tells of the lease in its last three days", () => {
    const whole = 30 * DAY;
    expect(warnings({}, { left: 3 * DAY + 1, whole })).toEqual([]);
    expect(warnings({}, { left: 3 * DAY, whole })[0]).toContain("In 3 days it closes");
    expect(warnings({}, { left: 0, whole })[0]).toContain("closes its records now");
  });

  it.each([
    [1, "8 hours"],
    [2, "16 hours"],
    [3, "24 hours"],
    [8, "3 days"],
  ])("tells of a lease of %i days in its last third only", (days, said) => {
    const whole = days * DAY;
    expect(warnings({}, { left: whole, whole })).toEqual([]);
    expect(warnings({}, { left: whole / 3 + 1, whole })).toEqual([]);
    expect(warnings({}, { left: whole / 3, whole })[0]).toContain(`In ${said} it closes`);
  });

  it("puts first what a person must do first", () => {
    const all: Partial<SyncState> = {
      ...WAITING,
      state: "waiting",
      detail: "not_our_server",
      refused: 1,
      storage_kept: false,
      storage_nearly_full: true,
      clock_off_seconds: 2 * DAY,
    };
    const ends = { left: DAY, whole: 30 * DAY };
    expect(syncWarnings({ ...CALM, ...all }, ends, "not_yet").map(({ key }) => key)).toEqual([
      "fault",
      "room",
      "lease",
      "clock",
      "refused",
      "unkept",
      "app",
    ]);
  });
});

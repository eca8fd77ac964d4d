/** What was typed into a refused entry is shown in full, and comes back on its own screen. Our own rule. */
import { describe, expect, it } from "vitest";

import { dayKey, setPlace } from "../../words/format";
import { untouched, type BookingChange } from "../booking/change";
import { blankCard } from "../client/card-form";
import { backTo, isOther } from "./again";
import { typedIn, typedVisits } from "./typed";

describe("what was typed", () => {
  it("is all there, line by line, lists and parts included", () => {
    const args = {
      client: "c",
      note: 'She said "later"',
      decides_for_self: false,
      authority: "",
      places: ["left_heel", "crack"],
      bits: [{ family: "diamond_large", head_mm: 6, places: ["left_heel"] }],
    };
    expect(typedIn(args).map(({ field, value }) => `${field} = ${value}`)).toEqual([
      "client = c",
      'note = She said "later"',
      "decides for self = false",
      "places = left_heel, crack",
      "bits 1: family = diamond_large",
      "bits 1: head mm = 6",
      "bits 1: places = left_heel",
    ]);
  });
});

describe("what was typed of other records", () => {
  it("is told by their names, and days in words; never by an id", () => {
    setPlace({ zone: "America/New_York", units: "in" }, ["en-US"]);
    const ids = ["1", "2", "3"].map((n) => `0194f7a0-0000-7000-8000-00000000000${n}`);
    const args = {
      booking: ids[0],
      staff: ids[1],
      starts_at: "2026-12-07T13:45:00+00:00",
      expires_on: "2027-01-31",
      seen: [ids[2]],
      sets: [ids[1], ids[2]],
      picture: "ab".repeat(32),
      note: "2 of 3, code 12-34",
    };
    const said = typedIn(args, new Map([[ids[1] ?? "", "Tess"]]));
    expect(said.map(({ field, value }) => `${field} = ${value}`)).toEqual([
      "staff = Tess",
      "starts at = Mon, Dec 7, 2026, 8:45 AM",
      "expires on = January 31, 2027",
      "sets = Tess",
      "note = 2 of 3, code 12-34",
    ]);
  });
});

describe("visits that were planned together", () => {
  it("are told by names and times, and not by ids", () => {
    setPlace({ zone: "America/New_York", units: "in" }, ["en-US"]);
    const stop = { booking: "b", seen: null, staff: "me", minutes: 40, service: "" };
    const at = { starts_at: "2026-12-07T13:45:00Z", place: "facility" as const };
    const visits = [
      { ...stop, ...at, client: "ana" },
      { ...stop, ...at, client: "gone", staff: "gone" },
    ];
    const planned = { round: "r", seen: null, facility: "f", day: "2026-12-07", note: "Side door" };
    const clients = new Map([["ana", "Ana"]]);
    const known = [clients, new Map([["me", "Tess"]])] as const;
    const lines = [
      "visit 1 = Ana, Mon, Dec 7, 2026, 8:45 AM, 40 min, by Tess",
      "visit 2 = Unknown client, Mon, Dec 7, 2026, 8:45 AM, 40 min, by somebody who is not on this phone",
    ];
    const said = (args: Parameters<typeof typedVisits>[0]) =>
      typedVisits(args, ...known).map(({ field, value }) => `${field} = ${value}`);
    expect(said({ ...planned, visits, meant: [] })).toEqual([
      "day = December 7, 2026",
      "note = Side door",
      ...lines,
    ]);
    expect(said({ visits, meant: [] })).toEqual(lines);
  });
});

describe("a form that was begun anew", () => {
  const again = {
    draft: "book/c",
    to: "/client/c/book",
    value: { day: "2026-12-01", staff: "me" },
  };

  it("is asked about before what was refused takes its place", () => {
    expect(isOther(again, null)).toBe(false);
    expect(isOther(again, { staff: "me", day: "2026-12-01" })).toBe(false);
    expect(isOther(again, { staff: "me", day: "2026-12-02" })).toBe(true);
    expect(isOther(again, { ...again.value, note: "By the back door" })).toBe(true);
    expect(isOther(again, { day: "2026-12-01" })).toBe(true);
  });
});

describe("a refused entry", () => {
  it("about hours or a base is sent anew over what stands by then", () => {
    const staff = "me";
    expect(backTo("set_working_week", { staff, seen: 3, days: [], skills: [] })).toMatchObject({
      ...{ draft: "hours/me", to: "/hours/me", value: { begun: true, seen: null } },
    });
    expect(backTo("set_base", { staff, seen: 3, position: null })).toEqual({
      ...{ draft: "base/me", to: "/hours/me" },
      value: { position: null, begun: true, seen: null },
    });
  });

  it("about a round comes back to the round, or to its plan", () => {
    const stop = { booking: "b", seen: 4, client: "ana", staff: "me", minutes: 40, service: "" };
    const visits = [{ ...stop, starts_at: "2026-12-02T11:00:00Z", place: "facility" as const }];
    const planned = { round: "r", seen: null, facility: "f", day: "2026-12-02", note: "Side door" };
    expect(backTo("plan_round", { ...planned, visits, meant: [] })).toMatchObject({
      ...{ draft: "round/f", to: "/facility/f/round" },
      value: { day: "2026-12-02", note: "Side door", minutes: 40, staff: ["me"], order: ["ana"] },
    });
    expect(backTo("close_round", { round: "r", seen: 1, note: "Lift broken" })).toMatchObject({
      ...{ draft: "round-day/r", to: "/round/r", value: { note: "Lift broken" } },
    });
    const why = { code: "other" as const, reason: "Norovirus" };
    expect(backTo("cancel_round", { round: "r", seen: 1, stops: [], ...why })).toMatchObject({
      ...{ draft: "round-day/r", to: "/round/r" },
      value: { cancel: { code: "other", words: "Norovirus" } },
    });
  });

  it("comes back to the form it was typed on, under that form's draft", () => {
    const args = { screen: "s", client: "c", answers: { diabetes: true }, answered_by: "client" };
    const of_before = { answered_by_name: "", screened_at: "2026-11-25T14:50:00Z" };
    expect(backTo("record_screen", { ...args, ...of_before })).toMatchObject({
      draft: "screen/c",
      to: "/client/c/screen",
      value: { answers: { diabetes: true }, confirmed: [], from: null, begun: true },
    });
    const told = { from_screen: "r", confirmed: ["diabetes"] };
    expect(backTo("record_screen", { ...args, ...of_before, ...told })).toMatchObject({
      value: { confirmed: ["diabetes"], from: "r", day: dayKey(of_before.screened_at) },
    });
  });

  it("lays a refused change of a card over the card as it is now", () => {
    const args = { client: "c", seen: 3, changes: { phone: "555 0122", facility: null } };
    expect(backTo("amend_client", args)).toEqual({
      draft: "card/c",
      to: "/client/c/edit",
      value: { card: blankCard(), began: null, again: { phone: "555 0122", facility: null } },
    });
  });

  it("brings a thing of the kit back to its form, and a change of one over its card", () => {
    const card = { kind: "lot", name: "Gloves, M", supply: "gloves", lot: "A1", count: 100 };
    const typed = { ...card, expires_on: "" };
    const lot = { thing: "t", label: "0000-16JD", card: { ...card, expires_on: null } };
    expect(backTo("register_thing", lot)).toEqual({
      draft: "kit/new/lot",
      to: "/kit/new/lot",
      value: { label: "0000-16JD", card: typed, seen: null, again: null },
    });
    expect(backTo("amend_thing", { ...lot, seen: 3 })).toMatchObject({
      draft: "kit/t",
      to: "/kit/t/edit",
      value: { seen: null, again: typed },
    });
  });

  it("brings a vehicle and a day of travel back to their forms", () => {
    const card = { kind: "car", unit: "mile", name: "Blue estate", plate: "" };
    expect(backTo("register_vehicle", { vehicle: "v", ...card })).toMatchObject({
      draft: "miles/vehicle/new",
      value: { ...card, seen: null },
    });
    const again = { name: "Green van", plate: "", given_up: true };
    expect(backTo("amend_vehicle", { vehicle: "v", seen: 3, ...again })).toMatchObject({
      to: "/miles/vehicle/v",
      value: { seen: null, again },
    });
    const leg = { start: "Home", end: "1 Elm Road", purpose: "client", words: "", known: "typed" };
    const odometer = { odometer_start: 1000, odometer_end: null };
    const day = { vehicle: "v", day: "2026-03-02", note: "", replaces: ["t0"], ...odometer };
    const legs = [{ ...leg, estimated_m: null, tenths: 37 }];
    expect(backTo("record_travel", { travel: "t", ...day, legs })).toMatchObject({
      draft: "miles/day/2026-03-02",
      value: {
        odometer_start: 100,
        legs: [{ end: "1 Elm Road", distance: 3.7 }],
        replaces: ["t0"],
      },
    });
  });

  it("brings a refused move back as the wall clock of the practice", () => {
    setPlace({ zone: "America/Chicago", units: "in" }, ["en-US"]);
    const at = { starts_at: "2026-12-02T03:30:00Z", minutes: 45, staff: "me" };
    const back = backTo("move_booking", { booking: "b", seen: 3, ...at });
    expect(back).toMatchObject({ draft: "booking/b", to: "/booking/b" });
    const value = back?.value as BookingChange;
    expect(value.when).toEqual({ day: "2026-12-01", clock: "21:30", minutes: 45, staff: "me" });
    expect(untouched(value)).toBe(false);
  });

  it("brings the reason of a refused cancellation back, and no times", () => {
    const back = backTo("cancel_booking", { booking: "b", seen: 3, reason: "Fell ill" });
    const value = { when: null, cancel: { code: "", words: "Fell ill" } };
    expect(back).toMatchObject({ draft: "booking/b", value });
    const told = backTo("record_not_seen", { booking: "b", code: "not_in", reason: "" });
    expect(told?.value).toMatchObject({ when: null, not_seen: { code: "not_in", words: "" } });
  });

  it("brings the witness of a mark back", () => {
    const args = { client: "c", signer_name: "Ada", signer_role: "client", witness: "Bo" };
    expect(backTo("sign_consent", args)?.value).toMatchObject({ how: "mark", witness: "Bo" });
  });

  it("brings a refused sheet back with what was said and answered", () => {
    const decisions = [
      { purpose: "treatment", agreed: true },
      { purpose: "photos", agreed: false },
    ];
    const told = { client: "c", decisions, said: "Not today", how: "mark", witness: "Bo" };
    expect(backTo("record_consent_sheet", told)?.value).toMatchObject({
      ...{ purposes: ["treatment", "photos"], answers: { treatment: true, photos: false } },
      ...{ said: "Not today", how: "mark", witness: "Bo" },
    });
  });

  it("brings a cycle, its end, a solution and a check of a machine back", () => {
    setPlace({ zone: "Europe/London", units: "mm" }, ["en-GB"]);
    const sets = [{ set: "a", step: "s", after: [] }];
    const soak = { load: "l", process: null, machine: null, product: "p", solution: "x", sets };
    const begun = { ...soak, started_at: "2026-11-25T11:50:20Z", note: "Deep tray" };
    expect(backTo("start_load", begun)).toMatchObject({
      draft: "kit-cycle/new",
      to: "/kit/cycle/new",
      value: {
        sets: ["a"],
        how: "p",
        process: "",
        solution: "x",
        clock: "11:50",
        note: "Deep tray",
      },
    });
    const shown = { held_minutes: 4, celsius: 134, indicator: "passed", note: "" };
    const ended = { end: "e", load: "l", ended_at: "2026-11-25T12:00:00Z", interrupted: false };
    expect(backTo("end_load", { ...ended, ...shown })).toEqual({
      draft: "kit-cycle/l",
      to: "/kit/cycle/l",
      value: shown,
    });
    const mixed = { product: "p", stock_percent: 5.25, volume_ml: 1000, note: "" };
    expect(backTo("mix_solution", { ...mixed, solution: "x", target_ppm: 5000 })).toMatchObject({
      draft: "kit-mix",
      to: "/kit/mix",
      value: { ...mixed, by: "ppm", target: 5000 },
    });
    const at = { tested_at: "2026-11-25T09:00:00Z", read_at: "2026-11-27T08:30:00Z" };
    const checked = { check: "c", machine: "m", kind: "spore_test", passed: false, note: "Lot 4" };
    expect(backTo("record_machine_check", { ...checked, ...at })).toEqual({
      draft: "kit-machine/m",
      to: "/kit/machine/m/check",
      value: {
        ...{ kind: "spore_test", passed: "failed", note: "Lot 4" },
        ...{ tested_day: "2026-11-25", tested_clock: "09:00" },
        ...{ read_day: "2026-11-27", read_clock: "08:30" },
      },
    });
  });

  it("does not pretend to where nothing was typed", () => {
    expect(backTo("revoke_device", { device: "d" })).toBeNull();
  });
});

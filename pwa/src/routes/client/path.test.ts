/**
 * What the path from the door offers next. The rulebook is the shipped one; that a referral cannot be passed by
 * answering again is the design's own rule.
 */
import { beforeAll, describe, expect, it } from "vitest";

import { saying } from "../../parts/outcome-look";
import { setPlace } from "../../words/format";
import { clientFile } from "./file";
import {
  baselines,
  book,
  check,
  consent,
  file,
  held,
  NOW,
  rows,
  screen,
  states,
  today,
  well,
} from "./invented-file";
import { outcomeStands, pathOf, stillBooked } from "./path";

beforeAll(() => {
  setPlace({ zone: "UTC", units: "mm" }, ["en-GB"]);
});

describe("the path from the door", () => {
  it("begins with the health questions, and leads to the visit when all is there", () => {
    expect(states(file({}))).toBe(
      "screen next, feet later, outcome later, consent later, visit later",
    );
    expect(states(file(today))).toBe(
      "screen done, feet done, outcome done, consent done, visit next",
    );
    expect(file(today).standing.may_start).toBe(true);
  });

  it("does not go by yesterday's records", () => {
    const old = {
      ...today,
      health_screen: [screen("h", "2026-11-24T11:00:00Z", well)],
      foot_check: [check("f", "2026-11-24T11:30:00Z", well)],
    };
    expect(file(old).judgement?.outcome).toBe("go");
    expect(outcomeStands(file(old))).toBe(false);
    expect(states(file(old))).toContain("screen next, feet later, outcome later");
  });

  it("is at its end for today after the visit, though the next one is booked", () => {
    const done = { state: "completed", started_at: "2026-11-25T11:40:00Z", record: {} };
    const end = pathOf(file({ ...today, visit: [held("v", done)] })).at(-1);
    expect(end).toEqual({ id: "visit", state: "done", to: "#/visit/v/aftercare", early: false });
    const early = held("v", { ...done, state: "under_review", record: { ended_early: "A nick" } });
    expect(pathOf(file({ ...today, visit: [early] })).at(-1)?.early).toBe(true);
    const before = [held("v", { ...done, started_at: "2026-10-01T11:40:00Z" })];
    expect(pathOf(file({ ...today, visit: before })).at(-1)?.to).toBe("#/booking/b/visit");
  });

  it("goes on with the health questions once a referral is answered", () => {
    const referral = held("h", {
      level: "refer_first",
      made_at: "2026-11-25T11:00:00Z",
      answer_recorded_at: "2026-11-25T11:50:00Z",
      entered_in_error: false,
      reasons: [],
    });
    const swollen = { ...well, hot_swollen_foot: true };
    const foot_check = [check("f", "2026-11-25T11:30:00Z", swollen)];
    const answered = file({ ...today, foot_check, referral: [referral] });
    expect(answered.standing.outcome).toBe("refer_first");
    expect(outcomeStands(answered)).toBe(false);
    expect(states(answered)).toContain("screen next, feet done, outcome later");
  });

  it("stops at what the health questions ask a clinician for, before the feet were looked at", () => {
    const ulcer = [screen("h", "2026-11-25T11:00:00Z", { ...well, ulcer_before: true })];
    const waiting = file({ health_screen: ulcer, consent: [consent] });
    expect(waiting.standing.outcome).toBe("needs_clearance");
    expect(outcomeStands(waiting)).toBe(true);
    expect(states(waiting)).toBe(
      "screen done, feet later, outcome held, consent done, visit later",
    );
    const old = [screen("h", "2026-11-23T11:00:00Z", { ...well, ulcer_before: true })];
    expect(states(file({ health_screen: old }))).toContain(
      "screen next, feet later, outcome later",
    );
  });

  it("says no go where the work may not start", () => {
    const said = (some: Parameters<typeof file>[0]) => {
      const made = file(some);
      if (!made.judgement) throw new Error("nothing was asked");
      return saying(made.judgement, made.standing);
    };
    expect(said(today)).toBe("outcome");
    expect(said({ ...today, consent: [] })).toBe("lacking");
    expect(said({ ...today, foot_check: [] })).toBe("held");
    const asked = {
      level: "refer_first",
      made_at: "2026-11-20T11:00:00Z",
      entered_in_error: false,
    };
    const referral = [held("r", { ...asked, answer_recorded_at: null })];
    expect(said({ ...today, referral })).toBe("waits");
  });

  it("does not offer a booking whose visit was made, though its review keeps it open", () => {
    const made = { started_at: "2026-10-01T11:40:00Z", booking: "b" };
    const reviewed = file({ ...today, visit: [held("v", { ...made, state: "under_review" })] });
    expect(stillBooked(reviewed)).toEqual([]);
    expect(pathOf(reviewed).at(-1)?.to).toBe("#/client/c/book");
    const started = file({ ...today, visit: [held("v", { ...made, state: "started" })] });
    expect(stillBooked(started).map(({ id }) => id)).toEqual(["b"]);
  });

  it("starts no visit with a client who is away, but leads on to one that has begun", () => {
    const card = { born: "1970-05-01", decides_for_self: true, status: "in_hospital" };
    const away = { ...today, client: [held("c", card)] };
    expect(file(away).standing.may_start).toBe(false);
    expect(states(file(away))).toContain("visit held");
    const visit = [held("v", { state: "started", started_at: "2026-11-25T11:40:00Z" })];
    expect(states(file({ ...away, visit }))).toContain("visit next");
  });

  it("stops at a referral that waits, whatever is answered after it", () => {
    const referral = held("h0", {
      level: "refer_first",
      made_at: "2026-11-25T10:00:00Z",
      answer_recorded_at: null,
      entered_in_error: false,
    });
    const referred = file({ ...today, referral: [referral] });
    expect(referred.standing.may_start).toBe(false);
    expect(states(referred)).toBe(
      "screen done, feet done, outcome held, consent done, visit later",
    );
  });

  it("says of what is left that a clinician has said no, and leads to why", () => {
    const answer = { verdict: "may_not", answered_on: "2026-11-25" };
    const referral = held("h0", {
      level: "refer_first",
      made_at: "2026-11-25T10:00:00Z",
      answer_recorded_at: null,
      answers: [{ ...answer, recorded_at: "2026-11-25T11:50:00Z" }],
      entered_in_error: false,
    });
    const no = { ...today, foot_check: [], consent: [], referral: [referral] };
    const refused = file(no);
    expect(refused.standing.reasons).toContain("clinician_said_no");
    expect(states(refused)).toBe(
      "screen done, feet refused, outcome held, consent refused, visit refused",
    );
    expect(pathOf(refused).at(-1)?.to).toBe("#/client/c/outcome");
    const begun = held("v", { state: "started", started_at: "2026-11-25T11:40:00Z", booking: "b" });
    expect(pathOf(file({ ...no, visit: [begun] })).at(-1)?.to).toBe("#/booking/b/visit");
  });
});

describe("the path of a client of whom a clinician’s word is needed", () => {
  const asked = {
    ...today,
    health_screen: [screen("h", "2026-11-25T11:00:00Z", { ...well, kidney_failure: true })],
  };
  const said = { given_on: "2026-11-20", expires_on: "2026-12-20", covers: ["kidney"] };
  const diabetic = { ...well, ...baselines["diabetic"]?.answers };
  const deformed = (at: string) => check("f", at, { ...well, deformity: true }, { screen: "h" });

  it("stops at the outcome, and offers nothing after it", () => {
    const stopped = "screen done, feet done, outcome held, consent";
    expect(states(file(asked))).toBe(`${stopped} done, visit later`);
    expect(states(file({ ...asked, consent: [] }))).toBe(`${stopped} later, visit later`);
  });

  it("leads to the visit once it was given, and no longer once it has run out", () => {
    expect(states(file({ ...asked, clearance: [held("k", said)] }))).toContain("visit next");
    const old = held("k", { ...said, expires_on: "2026-11-24" });
    expect(states(file({ ...asked, clearance: [old] }))).toContain("outcome held");
  });

  it("stays where it was, though the questions are answered otherwise or the feet looked at again", () => {
    const seen = { seen: ["h"] };
    const again = screen("again", "2026-11-25T11:40:00Z", well, seen);
    const feet = check("feet", "2026-11-25T11:45:00Z", well, { screen: "again", seen: ["f"] });
    const answered = { ...asked, health_screen: [...asked.health_screen, again] };
    for (const anew of [answered, { ...answered, foot_check: [...asked.foot_check, feet] }]) {
      const stays = file(anew);
      expect(stays.screen?.id).toBe("again");
      expect(stays.judgement?.outcome).toBe("needs_clearance");
      expect(stays.standing.reasons).toEqual(["needs_clearance"]);
      expect(stays.asked_before).toEqual(["kidney"]);
      expect(file({ ...anew, clearance: [held("k", said)] }).standing.may_start).toBe(true);
    }
  });

  it("stays where the server has named it though its rule is narrowed, and goes with the rule; its letter waits to be called off", () => {
    const again = screen("again", "2026-11-25T11:40:00Z", well, { seen: ["h"], asks: [] });
    const failing = { ...well, kidney_failure: true };
    const named = screen("h", "2026-11-25T11:00:00Z", failing, { asks: ["kidney"] });
    const letter = { level: "needs_clearance", made_at: "2026-11-25T11:00:00Z", screen: "h" };
    const open = { answers: [], answer_recorded_at: null, entered_in_error: false };
    const then = {
      ...asked,
      health_screen: [named, again],
      referral: [held("h", { ...letter, ...open, reasons: ["kidney"], asks: ["kidney"] })],
    };
    const by = (rules: typeof book.rules) => clientFile({ ...book, rules }, rows(then), "c", NOW);
    const narrowed = book.rules.map((rule) =>
      rule.id === "kidney" ? { ...rule, when: "false" } : rule,
    );
    expect(by(narrowed)?.standing.reasons).toEqual(["needs_clearance"]);
    expect(by(narrowed)?.asked_before).toEqual(["kidney"]);
    expect(by(narrowed)?.waiting).toHaveLength(1);
    const removed = by(book.rules.filter(({ id }) => id !== "kidney"));
    expect(removed?.standing.reasons).toEqual([]);
    expect(removed?.waiting).toHaveLength(1);
  });

  it("goes with a clinician’s yes to a referral that named it, and not with one of before", () => {
    const swollen = { ...well, hot_swollen_foot: true };
    const feet = check("f", "2026-11-25T11:10:00Z", swollen, { screen: "h" });
    const again = screen("again", "2026-11-25T11:40:00Z", well, { seen: ["h"] });
    const anew = check("anew", "2026-11-25T11:45:00Z", well, { screen: "again", seen: ["f"] });
    const made = { level: "refer_first", reasons: ["kidney"], made_at: "2026-11-25T11:10:00Z" };
    const answered = (answer_recorded_at: string, more = {}) =>
      file({
        ...asked,
        health_screen: [...asked.health_screen, again],
        foot_check: [feet, anew],
        referral: [held("f", { ...made, answer_recorded_at, entered_in_error: false, ...more })],
      }).asked_before;
    expect(answered("2026-11-25T11:30:00Z")).toEqual([]);
    expect(answered("2026-11-25T10:55:00Z")).toEqual(["kidney"]);
    const said = { answered_on: "2026-11-25", recorded_at: "2026-11-25T11:30:00Z", verdict: "may" };
    const written = (written_at: string) =>
      answered(said.recorded_at, { answers: [{ ...said, written_at }] });
    expect(written("2026-11-25T11:20:00Z")).toEqual([]);
    expect(written("2026-11-25T10:55:00Z")).toEqual(["kidney"]);
  });

  it("stays where a foot check after the yes rests on what was said before it", () => {
    const swollen = { ...well, hot_swollen_foot: true };
    const feet = check("f", "2026-11-25T11:10:00Z", swollen, { screen: "h" });
    const more = check("more", "2026-11-25T11:35:00Z", well, { screen: "h", seen: ["f"] });
    const again = screen("again", "2026-11-25T11:40:00Z", well, { seen: ["h"] });
    const said_yes = { answer_recorded_at: "2026-11-25T11:30:00Z", entered_in_error: false };
    const made = { level: "refer_first", reasons: ["kidney"], made_at: "2026-11-25T11:10:00Z" };
    const stays = file({
      ...asked,
      health_screen: [...asked.health_screen, again],
      foot_check: [feet, more],
      referral: [held("f", { ...made, ...said_yes })],
    });
    expect(stays.standing.reasons).toEqual(["needs_clearance"]);
  });

  it("stays where its rule refers on since, as what it asked for then", () => {
    const raised = {
      ...book,
      rules: book.rules.map((rule) =>
        rule.id === "kidney" ? { ...rule, outcome: "refer_first" as const } : rule,
      ),
    };
    const again = screen("again", "2026-11-25T11:40:00Z", well, { seen: ["h"] });
    const all = { ...asked, health_screen: [...asked.health_screen, again] };
    const by = (more: object) => clientFile(raised, rows({ ...all, ...more }), "c", NOW)?.standing;
    expect(by({})?.reasons).toEqual(["needs_clearance"]);
    expect(by({ clearance: [held("k", said)] })?.may_start).toBe(true);
    const letter = { answers: [], answer_recorded_at: null, entered_in_error: false };
    const made = { ...letter, level: "refer_first", reasons: ["kidney"], screen: "h" };
    expect(by({ referral: [held("h", made)] })?.reasons).toEqual(["referral_unanswered"]);
  });

  it("stays where a screen and a look at the feet asked for it together", () => {
    const told = screen("told", "2026-11-25T10:20:00Z", diabetic, { seen: ["h"] });
    const away = screen("away", "2026-11-25T10:40:00Z", well, { seen: ["h", "told"] });
    const first = screen("h", "2026-11-25T10:00:00Z", well);
    const all = {
      ...asked,
      health_screen: [first, told, away],
      foot_check: [deformed("2026-11-25T10:10:00Z")],
    };
    expect(file(all).standing.reasons).toEqual(["needs_clearance"]);
    expect(file(all).asked_before).toContain("iwgdf_gap_deformity_only");
  });

  it("stays for a day by the foot check’s own screen, though that is of longer ago", () => {
    const old = screen("h", "2026-11-24T11:30:00Z", diabetic);
    const away = screen("away", "2026-11-25T11:50:00Z", well, { seen: ["h"] });
    const feet = check("feet", "2026-11-25T11:55:00Z", well, { screen: "away", seen: ["f"] });
    const all = {
      ...asked,
      health_screen: [old, away],
      foot_check: [deformed("2026-11-24T21:30:00Z"), feet],
    };
    expect(file(all).standing.reasons).toEqual(["needs_clearance"]);
  });

  it("goes with a slip, and with the day", () => {
    const slip = screen(
      "h",
      "2026-11-25T11:00:00Z",
      { ...well, kidney_failure: true },
      {
        entered_in_error: true,
      },
    );
    const again = screen("again", "2026-11-25T11:40:00Z", well, { seen: ["h"] });
    expect(file({ ...asked, health_screen: [slip, again] }).standing.may_start).toBe(true);
    const old = screen("h", "2026-11-24T11:00:00Z", { ...well, kidney_failure: true });
    expect(file({ ...asked, health_screen: [old, again] }).asked_before).toEqual([]);
  });

  it("begins with the questions where yesterday’s asked for it", () => {
    const health_screen = [screen("h", "2026-11-24T11:00:00Z", { ...well, kidney_failure: true })];
    expect(states(file({ ...asked, health_screen }))).toContain("screen next");
  });
});

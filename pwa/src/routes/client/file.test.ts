/** A client's file: which records stand, and are judged together. The rulebook is the shipped one. */
import { describe, expect, it } from "vitest";

import { check, consent, file, held, screen, states, today, well } from "./invented-file";

describe("the records of a client", () => {
  it("are the newest, and none where the newest was a slip: it is then done again", () => {
    const slip = screen("slip", "2026-11-25T11:45:00Z", well, { entered_in_error: true });
    const early = screen("early", "2026-11-25T08:00:00Z", well);
    const both = [...today.health_screen, early];
    expect(file({ ...today, health_screen: both }).screen?.id).toBe("h");
    expect(file({ ...today, health_screen: [slip, ...both] }).screen).toBeNull();
  });

  it("hold the work where this rulebook cannot read them", () => {
    const health_screen = [screen("h", "2026-11-25T11:00:00Z", { ...well, diabetes: "maybe" })];
    const unread = file({ ...today, health_screen });
    expect(unread.judgement).toBeNull();
    expect(unread.standing.reasons).toEqual(["questions_open"]);
    expect(states(unread)).toContain("outcome held, consent done, visit later");
  });
});

describe("the consents of a client", () => {
  const signed = (id: string, signed_at: string, withdrawn_at: string | null) =>
    held(id, { signed_at, withdrawn_at, signer_role: "client" });

  it("are all that stand, so that a no ends every one of them", () => {
    const two = [
      signed("old", "2026-01-02T10:00:00Z", null),
      signed("new", "2026-03-02T10:00:00Z", null),
      signed("gone", "2026-02-02T10:00:00Z", "2026-02-03T10:00:00Z"),
    ];
    const standing = file({ ...today, consent: two });
    expect(standing.agreed.map(({ id }) => id)).toEqual(["new", "old"]);
    expect(standing.taken_back).toBeNull();
  });

  it("say which was taken back last, where none stands", () => {
    const gone = [
      signed("one", "2026-01-02T10:00:00Z", "2026-11-20T10:00:00Z"),
      signed("two", "2026-03-02T10:00:00Z", "2026-04-03T10:00:00Z"),
    ];
    const none = file({ ...today, consent: gone });
    expect([none.agreed, none.taken_back?.id]).toEqual([[], "one"]);
    expect(none.standing.reasons).toEqual(["no_consent"]);
    expect(file({}).taken_back).toBeNull();
  });
});

describe("two looks at the feet by people who did not know of each other", () => {
  const asked = { health_screen: [screen("h", "2026-11-25T09:00:00Z", well)], consent: [consent] };
  const fragile = { ...well, fragile_skin_seen: true };
  const strict = check("strict", "2026-11-25T09:30:00Z", fragile, { seen: [] });
  const mild = check("mild", "2026-11-25T10:00:00Z", well, { seen: [] });

  it("count together, the stricter of each", () => {
    const both = file({ ...asked, foot_check: [strict, mild] });
    const alone = file({ ...asked, foot_check: [strict] });
    expect(both.checks.map(({ id }) => id)).toEqual(["mild", "strict"]);
    expect(both.check?.id).toBe("mild");
    expect(both.judgement?.outcome).toBe("go_with_limits");
    expect(both.judgement?.limits).toEqual(alone.judgement?.limits);
    expect(both.known_checks).toEqual(["mild", "strict"]);
  });

  it("give way to one that has seen both", () => {
    const last = check("last", "2026-11-25T11:00:00Z", well, { seen: ["mild", "strict"] });
    const looked = file({ ...asked, foot_check: [strict, mild, last] });
    expect(looked.checks.map(({ id }) => id)).toEqual(["last"]);
    expect(looked.judgement?.outcome).toBe("go");
  });

  it("are each judged with each of two screens that were asked apart", () => {
    const kidney = { ...well, kidney_failure: true };
    const screens = [
      screen("one", "2026-11-25T09:00:00Z", kidney, { seen: [] }),
      screen("other", "2026-11-25T09:10:00Z", well, { seen: [] }),
    ];
    const all = file({ health_screen: screens, foot_check: [strict, mild], consent: [consent] });
    const fired = all.judgement?.fired.map(({ id }) => id) ?? [];
    expect(fired).toContain("fragile");
    expect(all.judgement?.outcome).toBe("needs_clearance");
  });

  it.each([8, 9])("of %i the newest eight are judged, and more hold the client", (count) => {
    const many = Array.from({ length: count }, (_, minute) =>
      check(`f${String(minute)}`, `2026-11-25T10:0${String(minute)}:00Z`, well, { seen: [] }),
    );
    expect(file({ ...asked, foot_check: many }).judgement?.held).toBe(count > 8);
  });
});

describe("two screens of people who did not know of each other", () => {
  const kidney = { ...well, kidney_failure: true };
  const strict = screen("strict", "2026-11-25T09:00:00Z", kidney, { seen: [] });
  const mild = screen("mild", "2026-11-25T10:00:00Z", well, { seen: [] });
  const feet = check("feet", "2026-11-25T10:05:00Z", well);

  it("count together, the stricter of each", () => {
    const both = file({ health_screen: [strict, mild], foot_check: [feet], consent: [consent] });
    expect(both.screens.map(({ id }) => id)).toEqual(["mild", "strict"]);
    expect(both.screen?.id).toBe("mild");
    expect(both.judgement?.outcome).toBe("needs_clearance");
    expect(both.standing.reasons).toContain("needs_clearance");
    expect(both.known_screens).toEqual(["mild", "strict"]);
  });

  it("give way to one that has seen both", () => {
    const seen = screen("last", "2026-11-25T11:00:00Z", well, { seen: ["mild", "strict"] });
    const asked = file({ health_screen: [strict, mild, seen], foot_check: [feet] });
    expect(asked.screens.map(({ id }) => id)).toEqual(["last"]);
    expect(asked.asked_before).toEqual(["kidney"]);
  });

  it.each([8, 9])("of %i the newest eight are judged, and more hold the client", (count) => {
    const many = Array.from({ length: count }, (_, minute) =>
      screen(`s${String(minute)}`, `2026-11-25T10:0${String(minute)}:00Z`, well, { seen: [] }),
    );
    const asked = file({ health_screen: many, foot_check: [feet], consent: [consent] });
    expect(asked.screens).toHaveLength(count);
    expect(asked.judgement?.held).toBe(count > 8);
    expect(asked.standing.reasons).toEqual(count > 8 ? ["questions_open"] : []);
  });
});

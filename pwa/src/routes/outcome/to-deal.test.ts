/** Which reasons are said before a visit. Check: our own rule; a yes counts once the questions are asked again. */
import { describe, expect, it } from "vitest";

import { answered, toDeal } from "./to-deal";

describe("what is to be dealt with", () => {
  it("is that somebody else sees the client, and nothing else, while no clinician has answered", () => {
    expect(toDeal(["referral_unanswered", "no_foot_check", "refer_first"])).toEqual([
      "referral_unanswered",
    ]);
    expect(toDeal(["refer_first", "no_consent"])).toEqual(["refer_first"]);
  });

  it("is to ask again once they have, and no more that somebody else must see the client", () => {
    expect(toDeal(["screen_before_answer", "refer_first"])).toEqual(["screen_before_answer"]);
    expect(
      toDeal(["screen_before_answer", "screen_not_current", "emergency", "no_consent"]),
    ).toEqual(["screen_before_answer", "no_consent"]);
    expect(answered(["refer_first"])).toBe(false);
  });

  it("is a clinician's clearance before the rest", () => {
    expect(toDeal(["no_foot_check", "questions_open", "needs_clearance"])).toEqual([
      "needs_clearance",
      "no_foot_check",
    ]);
  });
});

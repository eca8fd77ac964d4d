/** When a letter that asks for a clearance is no longer asked for. Check: our own rule (docs/decisions/0172). */
import { expect, it } from "vitest";

import { askedNoMore } from "./referrals";

const LATER = new Set(["hidden", "nobody"]);
const letter = {
  client: "c",
  level: "needs_clearance",
  made_at: "2026-11-25T10:00:00Z",
  entered_in_error: false,
  reasons: ["hidden"],
  asks: ["hidden"],
  answered_on: null,
  answer_recorded_at: null,
  answer: "",
  answers: [],
  clinician: "",
  clinician_role: "",
} as const;
const rule = (id: string, outcome: "go_with_limits" | "needs_clearance" = "needs_clearance") => ({
  id,
  outcome,
});
const settled = { held: false, fired: [rule("callus", "go_with_limits")], open: [] };

it("is not once what counts neither asks nor may ask by its rules", () => {
  expect(askedNoMore(letter, settled, LATER)).toBe(true);
  expect(askedNoMore(letter, { ...settled, fired: [rule("nobody")] }, LATER)).toBe(true);
  for (const still of [
    null,
    { ...settled, held: true },
    { ...settled, fired: [rule("hidden")] },
    { ...settled, open: [rule("hidden")] },
  ])
    expect(askedNoMore(letter, still, LATER)).toBe(false);
});

it("still is where it asked for more besides, referred the client on, or a clinician said no", () => {
  const no = {
    recorded_at: "2026-11-25T11:00:00Z",
    answered_on: "2026-11-25",
    verdict: "may_not",
    answer: "",
    clinician: "",
    clinician_role: "",
  } as const;
  for (const other of [
    { ...letter, asks: ["hidden", "kidney"] },
    { ...letter, level: "refer_first" as const },
    { ...letter, answers: [no] },
  ])
    expect(askedNoMore(other, settled, LATER)).toBe(false);
});

it("is not known of one that the server has not named yet while anything asks for a clearance", () => {
  const made_here = { ...letter, asks: [], reasons: [] };
  expect(askedNoMore(made_here, settled, LATER)).toBe(true);
  expect(askedNoMore(made_here, { ...settled, fired: [rule("nobody")] }, LATER)).toBe(false);
  expect(askedNoMore(made_here, { ...settled, open: [rule("nobody")] }, LATER)).toBe(false);
});

/** Check: our own rules. Of a body only what was agreed to; photos of one visit stand side by side. */
import { describe, expect, it } from "vitest";

import { photosOfFinding, photosOfNoFinding } from "../../src/domain/finding-photos";
import { needsConsent, photoConsent } from "../../src/domain/photo-consent";
import { type APhoto, pairsOf } from "../../src/domain/photo-pairs";
import type { RowOf } from "../../src/domain/rows";

const NOON = new Date("2026-11-25T12:00:00Z");

function said(more: Partial<RowOf<"consent_choice">>) {
  const row = {
    client: "c",
    purpose: "photos",
    agreed: true,
    counts: true,
    signed_at: "2026-11-25T09:00:00Z",
    withdrawn_at: null,
    ...more,
  };
  return { row: row as RowOf<"consent_choice"> };
}

describe("a consent to photos", () => {
  it("is asked for photos of a body, and for no paper", () => {
    expect(
      ["before", "after", "finding", "mishap"].map((p) => needsConsent(p as "before")),
    ).toEqual([true, true, true, true]);
    expect(needsConsent("paper_consent") || needsConsent("clearance_evidence")).toBe(false);
  });

  it.each([
    ["nobody was asked", [], "none"],
    ["a yes", [said({})], "agreed"],
    ["a no", [said({ agreed: false })], "refused"],
    ["a yes taken back", [said({ withdrawn_at: "2026-11-25T10:00:00Z" })], "withdrawn"],
    ["a yes that is taken back later", [said({ withdrawn_at: "2026-11-25T13:00:00Z" })], "agreed"],
    ["a yes that does not count", [said({ counts: false })], "none"],
    ["a yes to something else", [said({ purpose: "sharing" })], "none"],
    ["somebody else's yes", [said({ client: "d" })], "none"],
    ["a yes after noon", [said({ signed_at: "2026-11-25T13:00:00Z" })], "none"],
  ] as const)("%s", (_, rows, state) => {
    expect(photoConsent(rows, "c", NOON)).toBe(state);
  });
});

function photo(id: string, purpose: string, about: string | null, hour: number): APhoto {
  const taken_at = new Date(Date.UTC(2026, 10, 25, hour)).toISOString();
  return { id, row: { client: "c", purpose, about, taken_at } as RowOf<"photo"> };
}

describe("photos of what was found on a foot", () => {
  const photos = [
    photo("second", "finding", "f1", 9),
    photo("first", "finding", "f1", 8),
    photo("not kept", "finding", "f2", 9),
    photo("of nothing named", "finding", null, 10),
    photo("of a visit", "before", "f1", 8),
  ];

  it("stand with their finding, the oldest first", () => {
    expect(photosOfFinding(photos, "f1").map(({ id }) => id)).toEqual(["first", "second"]);
    expect(photosOfFinding(photos, "f3")).toEqual([]);
  });

  it("are shown by themselves where their finding was not kept", () => {
    const left = photosOfNoFinding(photos, "c", [{ id: "f1" }]).map(({ id }) => id);
    expect(left).toEqual(["not kept", "of nothing named"]);
    expect(photosOfNoFinding(photos, "d", [])).toEqual([]);
  });
});

describe("photos side by side", () => {
  it("are those of one visit, the newest visit first, and each of them once", () => {
    const photos = [
      photo("b2", "before", "v1", 9),
      photo("a", "after", "v1", 10),
      photo("b1", "before", "v1", 8),
      photo("later", "before", "v2", 15),
      photo("finding", "finding", "v1", 8),
      photo("of no visit", "before", null, 8),
    ];
    const ids = pairsOf(photos, "c").map(({ about, before, after }) => [
      about,
      before.map(({ id }) => id),
      after.map(({ id }) => id),
    ]);
    expect(ids).toEqual([
      ["v2", ["later"], []],
      ["v1", ["b1", "b2"], ["a"]],
    ]);
    expect(pairsOf(photos, "d")).toEqual([]);
  });
});

/** The rules as they are read and looked up. The rulebook is the shipped one. Check: our own rule. */
import { describe, expect, it } from "vitest";

import { bookOf } from "../../domain/screening/vectors";
import { byFramework, entries, find } from "./catalogue";

const book = bookOf("base");
const all = entries(book);

describe("the rules in words", () => {
  it("are all there, each under its framework, with its source", () => {
    const listed = byFramework(all).flatMap(({ rules }) => rules.map(({ id }) => id));
    expect(listed.toSorted()).toEqual(book.rules.map(({ id }) => id).toSorted());
    for (const rule of all) {
      expect(rule.source).not.toBe("");
      if (rule.outcome === "refer_first" || rule.outcome === "emergency") {
        expect(rule.referral).not.toBe("");
      }
    }
  });

  it("say what a place and what a practice has added", () => {
    const [first] = book.rules;
    if (!first) throw new Error("no rules");
    const own = { ...first, id: "own_no_heels" };
    const joined = { ...book, rules: [...book.rules, own], from_place: [first.id] };
    const origins = Object.fromEntries(entries(joined).map(({ id, origin }) => [id, origin]));
    expect(origins[first.id]).toBe("place");
    expect(origins["own_no_heels"]).toBe("practice");
    expect(origins[book.rules[1]?.id ?? ""]).toBe("book");
  });
});

describe("looking a rule up", () => {
  it("finds what holds every word, wherever it stands, and in any case", () => {
    expect(find(all, "")).toHaveLength(all.length);
    expect(find(all, "  NICE  emergency ").length).toBeGreaterThan(0);
    for (const rule of find(all, "nice")) {
      expect(JSON.stringify(rule).toLowerCase()).toContain("nice");
    }
    expect(find(all, "no such words at all")).toEqual([]);
  });
});

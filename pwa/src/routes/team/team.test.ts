/** Who can be given a client or a facility, and what passes for an e-mail. Check: our own rule. */
import { describe, expect, it } from "vitest";

import type { Held } from "../../store";
import { whoCanHave } from "./colleagues";
import { looksLikeEmail } from "./person-form";

function person(id: string, role: string, ended = false) {
  return { id, row: { name: id, role, ended } } as Held<"staff">;
}

describe("who can have a client", () => {
  it("is by name, of the right role, still here, and without it", () => {
    const staff = [
      person("Zoe", "technician"),
      person("Ann", "owner"),
      person("Bea", "coordinator"),
      person("Cy", "technician", true),
      person("Dot", "technician"),
    ];
    const ids = whoCanHave(staff, ["Dot"], ["technician", "owner"]).map(({ id }) => id);
    expect(ids).toEqual(["Ann", "Zoe"]);
  });
});

describe("an e-mail", () => {
  it("has a name, an @ and a place with a dot", () => {
    expect(looksLikeEmail(" ann@here.example ")).toBe(true);
    for (const odd of ["ann", "ann@here", "@here.example", "an n@here.example"])
      expect(looksLikeEmail(odd)).toBe(false);
  });
});

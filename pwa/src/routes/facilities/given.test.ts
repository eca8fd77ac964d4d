/** Check: our own rule. */
import { describe, expect, it } from "vitest";
import type { Role } from "../../wire/types";
import { hasEveryone, listFor, mayChange } from "./given";

const house = { staff: ["tess", "cora"] };

describe("a house that was given to some", () => {
  it.each<[string, Role, boolean, boolean]>([
    ["olive", "owner", true, true],
    ["cora", "coordinator", true, true],
    ["cleo", "coordinator", false, false],
    ["tess", "technician", true, false],
    ["theo", "technician", false, false],
  ])("%s (%s): everyone %s, changes it %s", (id, role, everyone, changes) => {
    expect(hasEveryone(house, { id, role })).toBe(everyone);
    expect(mayChange(house, { id, role })).toBe(changes);
  });

  it("has nobody to be shown to before it is known who looks", () => {
    expect(hasEveryone(house, null)).toBe(false);
    expect(mayChange(house, null)).toBe(false);
  });

  it("leads a coordinator back to the residents", () => {
    expect(listFor("coordinator")).toBe("/residents");
    expect(listFor("technician")).toBe("/facilities");
    expect(listFor("owner")).toBe("/facilities");
  });
});

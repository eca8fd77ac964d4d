/** In which order papers are listed. Check: our own rule. */
import { expect, it } from "vitest";
import type { Held } from "../../store";
import { byPerson } from "./by-person";

it("lists one's own first, and of each person what ends first", () => {
  const paper = (id: string, staff: string, expires_on: string | null) =>
    ({ id, row: { staff, expires_on } }) as Held<"paper">;
  const person = (id: string, name: string, ended = false) =>
    ({ id, row: { name, ended } }) as Held<"staff">;
  const listed = byPerson(
    [
      paper("none", "me", null),
      paper("late", "me", "2027-01-01"),
      paper("soon", "me", "2026-12-01"),
      paper("hers", "ann", "2026-11-01"),
      paper("gone", "left", "2026-11-01"),
    ],
    [person("ann", "Ann"), person("me", "Zoe"), person("left", "Lee", true), person("bo", "Bo")],
    "me",
  );
  expect(listed.map(({ name, papers }) => [name, papers.map(({ id }) => id)])).toEqual([
    ["Zoe", ["soon", "late", "none"]],
    ["Ann", ["hers"]],
  ]);
});

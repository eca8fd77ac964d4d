/** The coordinator's list, and the search of clients. Check: our own rule. */
import { describe, expect, it } from "vitest";

import type { Held } from "../../store";
import { housesOf } from "./houses";
import { found } from "./search";

function held<K extends "client" | "facility" | "booking">(id: string, row: object) {
  return { id, scope: null, version: 1, pending: false, row } as unknown as Held<K>;
}

const clients = [
  held<"client">("a", { name: "Ana Zwölf", room: "12", facility: "f", status: "active" }),
  held<"client">("b", { name: "Bo Two", room: "2", facility: "f", status: "in_hospital" }),
  held<"client">("c", {
    name: "Cy Home",
    room: "",
    facility: null,
    address: "3 Mill Lane",
    phone: "",
  }),
];

describe("a house", () => {
  it("lists its residents by room number, with how they are away, and the next booking", () => {
    const [house] = housesOf(
      [held("f", { name: "House" })],
      clients,
      [
        held("3", { client: "a", state: "booked", starts_at: "2026-11-25T10:00:00Z" }),
        held("6", { client: "a", state: "booked", starts_at: "2026-12-02T10:00:00Z" }),
        held("4", { client: "a", state: "booked", starts_at: "2026-11-01T10:00:00Z" }),
        held("5", { client: "a", state: "cancelled", starts_at: "2026-11-30T10:00:00Z" }),
      ],
      new Date("2026-11-25T12:00:00Z"),
    );
    // Ana's hour of today has passed, and nobody has been there yet.
    expect(house?.residents).toMatchObject([
      { id: "b", name: "Bo Two", away: "in_hospital", next: null },
      { id: "a", name: "Ana Zwölf", next: "2026-11-25T10:00:00Z" },
    ]);
    expect(house?.residents.map(({ away }) => away)).toEqual(["in_hospital", undefined]);
  });
});

describe("the search", () => {
  it("takes the beginnings of words, in any order, without accents", () => {
    const ids = (typed: string) => found(clients, typed).map(({ id }) => id);
    expect(ids("zwol an")).toEqual(["a"]);
    expect(ids("mill")).toEqual(["c"]);
    expect(ids("")).toEqual(["a", "b", "c"]);
    expect(ids("ill")).toEqual([]);
  });
});

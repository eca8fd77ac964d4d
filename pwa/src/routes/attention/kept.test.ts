/** Whose bookings are asked about, and until when. Check: our own rule. */
import { describe, expect, it } from "vitest";

import type { Held } from "../../store";
import { absentClients, keptBy, stillAsks } from "./kept";

const NOW = new Date("2026-05-04T09:00:00Z");

function client(id: string, status?: string) {
  return { id, row: { name: id, status } } as Held<"client">;
}

function booking(id: string, of: string) {
  const row = { client: of, starts_at: "2026-05-05T09:00:00Z", state: "booked" };
  return { id, row } as Held<"booking">;
}

const away = (status: string, ...ids: string[]) => {
  const [absent] = absentClients(
    [client("c", status)],
    ids.map((id) => booking(id, "c")),
    NOW,
  );
  if (absent === undefined) throw new Error("nobody is away");
  return absent;
};

describe("a client who is away", () => {
  it("is asked about once, with all bookings that stand", () => {
    const clients = [client("a"), client("b", "active"), client("c", "in_hospital")];
    const bookings = ["a", "b", "c", "c"].map((of, at) => booking(`b${String(at)}`, of));
    const found = absentClients(clients, bookings, NOW);
    expect(found.map(({ client: { id } }) => id)).toEqual(["c"]);
    expect(found[0]?.bookings.map(({ id }) => id)).toEqual(["b2", "b3"]);
  });

  it("is not asked about again once kept, until a booking or the card changes", () => {
    const kept = keptBy(away("in_hospital", "one", "two"));
    expect(stillAsks(away("in_hospital", "one", "two"), undefined)).toBe(true);
    expect(stillAsks(away("in_hospital", "one", "two"), kept)).toBe(false);
    expect(stillAsks(away("in_hospital", "two"), kept)).toBe(false);
    expect(stillAsks(away("in_hospital", "one", "new"), kept)).toBe(true);
    expect(stillAsks(away("died", "one", "two"), kept)).toBe(true);
  });
});

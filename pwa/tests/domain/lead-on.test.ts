import fc from "fast-check";
import { describe, expect, it } from "vitest";

import { type AnyRow, changesOf } from "../../src/domain/effects";
import { leadOn } from "../../src/domain/lead-on";

describe("an address of a client", () => {
  it("leads to the card that stayed", () => {
    const clients = [
      { id: "a", row: { merged: ["x", "y"] } },
      { id: "b", row: {} },
    ];
    expect(["a", "b", "x", "y", "nobody"].map((id) => leadOn(clients, id))).toEqual([
      "a",
      "b",
      "a",
      "a",
      "nobody",
    ]);
  });

  it("leads on at once, whichever two cards become one", () => {
    fc.assert(
      fc.property(fc.uniqueArray(fc.uuid(), { minLength: 2, maxLength: 2 }), ([stays, goes]) => {
        const rows = new Map<string, AnyRow>([
          [String(stays), { name: "one" }],
          [String(goes), { name: "other" }],
        ]);
        const made = {
          staff: "me",
          device: "phone",
          name: "",
          at: "2026-11-25T15:00:00Z",
          rulebook: "v",
        };
        for (const change of changesOf("merge_clients", { stays, goes }, made)) {
          if (change.kind !== "client" || change.id === null) continue;
          const row = change.becomes(rows.get(change.id) ?? null);
          if (row === null) rows.delete(change.id);
          else rows.set(change.id, row);
        }
        const clients = [...rows].map(([id, row]) => ({ id, row }));
        expect(clients.map(({ id }) => id)).toEqual([stays]);
        expect(leadOn(clients, String(goes))).toBe(stays);
      }),
    );
  });
});

/** With what a cycle may be done. Check: our own rules; what it must reach stands in tests/parity/kit.json. */
import { describe, expect, it } from "vitest";

import { againstProduct, againstSolution, processesFor } from "../../../src/domain/kit/asked";
import type { ProductCard } from "../../../src/domain/kit/facts";
import type { RowOf } from "../../../src/domain/rows";
import type { BookJson, Process } from "../../../src/domain/screening/book";

const sourced = { source: "invented", basis: "from_memory" } as const;
const WRAPPED: Process = {
  id: "vacuum_wrapped_132",
  level: "sterilise",
  machine: "steam_vacuum",
  wrapped: true,
  celsius: 132,
  minutes: 4,
  dry_minutes: [20, 30],
  indicator: true,
  ...sourced,
};
const BARE: Process = { ...WRAPPED, id: "vacuum_unwrapped_132", wrapped: false, minutes: 3 };
const MILD: Process = { ...BARE, id: "own_mild", level: "disinfect" };
const OTHER: Process = { ...WRAPPED, id: "dry_heat_170", machine: "dry_heat" };
const book = {
  processes: [WRAPPED, BARE, MILD, OTHER],
} as unknown as BookJson;
const product = {
  kind: "product",
  name: "P",
  used_for: "both",
  contact_minutes: 10,
  use_ppm: 5000,
  expires_on: "2026-11-25",
} as unknown as ProductCard;
const NOW = new Date("2026-11-25T12:00:00Z");
const solution = {
  target_ppm: 5000,
  keeps_until: "2026-11-25T12:00:00Z",
} as unknown as RowOf<"kit_solution">;

describe("a machine's cycle", () => {
  it("is offered where it fits the machine and is enough", () => {
    const ids = (level: "disinfect" | "sterilise") =>
      processesFor(book, "steam_vacuum", level).map(({ id }) => id);
    expect(ids("sterilise")).toEqual([WRAPPED.id, BARE.id]);
    expect(ids("disinfect")).toEqual([WRAPPED.id, BARE.id, MILD.id]);
  });
});

describe("a disinfectant", () => {
  it("is good to the end of its last day, and not after", () => {
    expect(againstProduct(product, "2026-11-25")).toBeNull();
    expect(againstProduct(product, "2026-11-26")).toBe("product_out_of_date");
    expect(againstProduct({ ...product, expires_on: null }, "2099-01-01")).toBeNull();
  });

  it("for surfaces is not for instruments", () => {
    const surfaces = { ...product, used_for: "surfaces" } as ProductCard;
    expect(againstProduct(surfaces, "2026-11-25")).toBe("product_for_surfaces");
  });

  it("is used while the mix keeps, and as strong as its label asks", () => {
    expect(againstSolution(solution, product, NOW)).toBeNull();
    const later = new Date(NOW.getTime() + 1);
    expect(againstSolution(solution, product, later)).toBe("solution_out_of_date");
    const weak = { ...solution, target_ppm: 4999 };
    expect(againstSolution(weak, product, NOW)).toBe("solution_too_weak");
  });
});

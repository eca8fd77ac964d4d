/** Times in order, as the wire writes them. ISO 8601 leaves a fraction out where there is none (published). */
import { expect, it } from "vitest";

import { byTime, latestFirst, newest } from "../../src/domain/by-time";
import { invented, use } from "../../src/domain/kit/invented-kit";
import { kitAt } from "../../src/domain/kit/kit";
import { byVisit, lastFailed, traced } from "../../src/domain/kit/trace";
import { lastSigned } from "../../src/domain/kit/checklists";
import { bookOf } from "../../src/domain/screening/vectors";

const [WHOLE, HALF, LATER] = [
  "2026-11-25T12:00:00Z",
  "2026-11-25T12:00:00.500000Z",
  "2026-11-25T12:00:01Z",
];
const itself = (at: string) => at;

it("takes a whole second before what follows in it", () => {
  const mixed = [LATER, HALF, WHOLE];
  expect(mixed.toSorted(byTime(itself))).toEqual([WHOLE, HALF, LATER]);
  expect(mixed.toSorted(latestFirst(itself))).toEqual([LATER, HALF, WHOLE]);
  expect(newest([HALF, WHOLE], itself)).toBe(HALF);
});

it("holds for cycles, uses, checks and checklists", () => {
  const load = { machine: null, product: null, asked: null, faults: [], sets: [], ends: [] };
  const loads = [WHOLE, HALF].map((started_at) => ({
    id: started_at,
    row: { ...load, started_at },
  }));
  const rows = { ...invented({}).rows, kit_load: loads as never };
  expect(kitAt(bookOf("base"), rows, new Date(LATER)).cycles.map(({ id }) => id)).toEqual([
    HALF,
    WHOLE,
  ]);
  const uses = [WHOLE, HALF].map((used_at) => use(used_at, "client", "set", { used_at }));
  const trail = traced(invented({}, { kit_use: uses }), itself);
  expect(trail.map(({ id }) => id)).toEqual([HALF, WHOLE]);
  expect(byVisit(trail).map(({ at }) => at)).toEqual([HALF]);
  const checks = [WHOLE, HALF].map((tested_at) => ({
    id: tested_at,
    row: { machine: "m", passed: false, tested_at },
  }));
  expect(lastFailed(invented({}, { machine_check: checks as never }), "m")).toBe(HALF);
  const signed = [WHOLE, HALF].map((at) => ({
    occasion: "weekly" as const,
    signed_at: at,
    staff: "",
  }));
  expect(lastSigned(signed, "weekly")?.signed_at).toBe(HALF);
});

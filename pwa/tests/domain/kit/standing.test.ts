/** The same vectors as tests/parity/test_kit.py, which says where they come from. */
import { describe, expect, test } from "vitest";
import vectors from "../../../../tests/parity/kit.json" with { type: "json" };
import { askedOfMachine, askedOfProduct } from "../../../src/domain/kit/asked";
import type { MachineCard, ProductCard } from "../../../src/domain/kit/facts";
import { ranMinutes, toldLate } from "../../../src/domain/kit/loads";
import { type Check, pulledBack } from "../../../src/domain/kit/recalls";
import type { BookJson, Process } from "../../../src/domain/screening/book";
import { type Case, judged } from "./judged";

describe("how a set stands", () => {
  test.each(vectors.standing)("$name", (held) => {
    const found: Record<string, unknown> = judged({ recalls: [], ...held } as unknown as Case);
    for (const [field, value] of Object.entries(held.expect)) {
      const expected = field === "until" ? Date.parse(value as string) / 1000 : value;
      expect(found[field], field).toEqual(expected);
    }
    expect(found["against"]).toEqual(held.against);
  });
});

describe("which cycles are pulled back", () => {
  test.each(vectors.recalls)("$name", ({ started_at, checks, pulled_back }) => {
    expect(pulledBack(started_at, checks as Check[])).toBe(pulled_back);
  });
});

test.each(vectors.ran)(
  "a cycle ran for $minutes minutes",
  ({ started_at, ended_at, heard_at, minutes }) => {
    expect(ranMinutes(started_at, ended_at, heard_at)).toBe(minutes);
  },
);

test.each(vectors.told_late)(
  "a start at $started_at that is told at $told_at is late: $late",
  ({ started_at, told_at, late }) => {
    expect(toldLate(started_at, told_at)).toBe(late);
  },
);

const { settings } = vectors as unknown as BookJson;

describe("what a machine must reach", () => {
  test.each(vectors.asked_of_machine)("$name", ({ process, maker_minutes, asked }) => {
    const machine = { maker_minutes } as unknown as MachineCard;
    expect(askedOfMachine({ settings }, process as Process, machine)).toEqual(asked);
  });
});

test.each(vectors.asked_of_product)(
  "a disinfectant takes the $contact_minutes minutes of its label",
  ({ contact_minutes, asked }) => {
    expect(askedOfProduct({ settings }, { contact_minutes } as ProductCard)).toEqual(asked);
  },
);

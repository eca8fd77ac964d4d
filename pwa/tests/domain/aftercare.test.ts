/** Aftercare where something went wrong. Check: no cream on hurt skin, common practice, no source. */
import { describe, expect, it } from "vitest";

import base from "../../../tests/parity/books/base.json";
import {
  askedAfter,
  fitsHurtSkin,
  hurtSkin,
  nextIsOpen,
  onHurtSkin,
} from "../../src/domain/aftercare";
import type { BookJson } from "../../src/domain/screening";

const BOOK = base as unknown as BookJson;
const wrong = (kind: string) => [{ row: { kind } }];
const inUtc = (at: string) => at.slice(0, 10);
const USUAL = ["cream_daily", "dry_between_toes", "warning_signs", "slip_warning"];

describe("where the skin may be hurt", () => {
  it.each(["nick", "burn", "bleeding", "fall", "allergic", "pain", "other"])(
    "is after %s",
    (kind) => {
      expect(hurtSkin(BOOK, wrong(kind), [])).toBe(true);
    },
  );

  it.each(["faint", "technician_hurt", "stopped_midway"])("is not after %s", (kind) => {
    expect(hurtSkin(BOOK, wrong(kind), [])).toBe(false);
  });

  it("is by a stop sign of hurt skin, and not by one of the person or by where careful work ends", () => {
    for (const sign of ["warm", "heat_felt", "pain", "blood"])
      expect(hurtSkin(BOOK, [], [sign])).toBe(true);
    expect(hurtSkin(BOOK, [], ["pink", "soft", "client_says_stop", "client_unwell"])).toBe(false);
    expect(hurtSkin(BOOK, [], [])).toBe(false);
  });

  it("is told first, with the warning signs, and no advice to put cream on is ticked", () => {
    const told = onHurtSkin(BOOK, USUAL);
    expect(told).toEqual(["hurt_skin", "warning_signs", "dry_between_toes"]);
    expect(onHurtSkin(BOOK, ["cream_without_urea"])).toEqual(["hurt_skin", "warning_signs"]);
  });

  it("leaves what a technician ticks besides", () => {
    expect(fitsHurtSkin(BOOK, USUAL)).toBe(false);
    expect(fitsHurtSkin(BOOK, [...onHurtSkin(BOOK, USUAL), "cream_daily"])).toBe(true);
  });

  it("asks for nothing of a book that does not tell of hurt skin", () => {
    const aftercare = BOOK.aftercare.map(({ id, when, source, basis }) => ({
      ...{ id, when, source, basis },
    }));
    expect(onHurtSkin({ ...BOOK, aftercare }, USUAL)).toEqual(USUAL);
  });
});

describe("the next visit", () => {
  it("is left open where something went wrong or the skin may be hurt", () => {
    expect(nextIsOpen(BOOK, [], ["pink"])).toBe(false);
    expect(nextIsOpen(BOOK, wrong("faint"), [])).toBe(true);
    expect(nextIsOpen(BOOK, [], ["warm"])).toBe(true);
  });

  it("comes after the first day on which the client is asked after", () => {
    const on = (day: string | null, closed: string | null = null) => ({
      row: { follow_up_on: day, closed_at: closed },
    });
    expect(askedAfter([on(null)], inUtc)).toBeNull();
    expect(askedAfter([on("2026-11-30"), on(null), on("2026-11-28")], inUtc)).toBe("2026-11-28");
    expect(askedAfter([on("2026-11-20", "2026-11-21T10:00:00Z")], inUtc)).toBeNull();
  });
});

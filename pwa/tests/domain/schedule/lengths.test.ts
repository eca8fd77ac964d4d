/** The vectors that the server runs as well. Check: our own rule; the median: its textbook definition. */
import { expect, test } from "vitest";

import { proposedLength, usualLength, usualService } from "../../../src/domain/schedule/lengths";
import type { Service } from "../../../src/domain/screening/book";
import vectors from "../../../../tests/parity/lengths.json" with { type: "json" };
import usual from "../../../../tests/parity/usual_visits.json" with { type: "json" };

const SERVICES: Service[] = [
  { id: "care", minutes: 60 },
  { id: "first", minutes: 75, for_new: true },
  { id: "nails", minutes: 30 },
].map((one) => ({ for_new: false, source: "", basis: "common_practice", ...one }));

test.each(vectors)("$name", ({ book, took, minutes, visits }) => {
  expect(proposedLength(book, took)).toEqual({ minutes, visits });
});

test.each(usual)("what the next visit is for: $name", ({ past, service, minutes }) => {
  const before = past.map(([named, took]) => ({
    service: String(named),
    minutes: typeof took === "number" ? took : null,
  }));
  const found = usualService(before, SERVICES);
  expect(found?.id).toBe(service);
  expect(found && usualLength(before, found).minutes).toBe(minutes);
});

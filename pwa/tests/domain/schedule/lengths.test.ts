/** The vectors that the server runs as well. Check: our own rule; the median: its textbook definition. */
import { expect, test } from "vitest";

import { proposedLength } from "../../../src/domain/schedule/lengths";
import vectors from "../../../../tests/parity/lengths.json" with { type: "json" };

test.each(vectors)("$name", ({ book, took, minutes, visits }) => {
  expect(proposedLength(book, took)).toEqual({ minutes, visits });
});

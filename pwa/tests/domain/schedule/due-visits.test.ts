/** The vectors that the server runs as well. Check: our own rule. */
import { expect, test } from "vitest";

import { dueState, windowOf } from "../../../src/domain/schedule/due-visits";
import vectors from "../../../../tests/parity/due_visits.json" with { type: "json" };

test.each(vectors)("$name", ({ since, weeks, may_wait, window, booked, today, state }) => {
  const due = since === null ? null : windowOf(since, weeks, may_wait);
  expect(due && [due.first, due.day, due.last]).toEqual(window);
  expect(dueState(due, booked, today)).toBe(state);
});

/** Bookings that nothing came of, as the client's card has them. Check: our own rule. */
import { expect, it } from "vitest";

import type { ClientFile } from "./file";
import { nothingCame } from "./path";

it("has those that were called off and those at a closed door, the latest first", () => {
  const states = ["cancelled", "done", "not_seen", "booked", "cancelled"];
  // In the order of their times, as the file has them.
  const bookings = states.map((state, n) => ({ id: `${state} ${String(n)}`, row: { state } }));
  const file = { bookings } as unknown as ClientFile;
  expect(nothingCame(file).map(({ id }) => id)).toEqual([
    "cancelled 4",
    "not_seen 2",
    "cancelled 0",
  ]);
});

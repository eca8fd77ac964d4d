/** The vectors that the server runs as well. Check: our own rule. */
import { expect, test } from "vitest";

import {
  consentOn,
  consentUntil,
  screenOn,
  screenUntil,
} from "../../../src/domain/schedule/residents";
import vectors from "../../../../tests/parity/resident_states.json" with { type: "json" };

test.each(vectors)("$name", ({ agreed, decides, screened, days, until, day, states }) => {
  const given = agreed.map(([on, by]) => ({ day: String(on), by_representative: by === true }));
  const consent = consentUntil(given, decides, days[0] ?? 0);
  const screen = screenUntil(screened, days[1] ?? 0);
  expect([consent, screen]).toEqual(until);
  expect([consentOn(consent, day), screenOn(screen, day)]).toEqual(states);
});

/** Which rules keep the work from starting. Check: the design's own rule; the rules named are the base book's. */
import { describe, expect, it } from "vitest";

import { firedBy } from "../../domain/screening/judge";
import { bookOf } from "../../domain/screening/vectors";
import type { ClientFile } from "../client/file";
import { stopping } from "./stopping";

const book = bookOf("base");
const fired = book.rules
  .filter(({ id }) =>
    [
      "chest_pain_or_breathless",
      "gout_attack",
      "ulcer_in_the_past",
      "heart",
      "every_client",
    ].includes(id),
  )
  .map(firedBy);
const covering = (...covers: string[]) => [{ row: { covers } }] as unknown as ClientFile["cleared"];
const ids = (cleared: ClientFile["cleared"]) => stopping(fired, cleared).map(({ id }) => id);

describe("the rules that keep the work from starting", () => {
  it("are those that ask for somebody else, and none that limits the work", () => {
    expect(ids([]).sort()).toEqual([
      "chest_pain_or_breathless",
      "gout_attack",
      "ulcer_in_the_past",
    ]);
  });

  it("leave out what a clearance covers, which covers no referral", () => {
    expect(ids(covering("ulcer_in_the_past", "gout_attack"))).not.toContain("ulcer_in_the_past");
    expect(ids(covering("ulcer_in_the_past", "gout_attack"))).toContain("gout_attack");
  });
});

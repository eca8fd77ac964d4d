// Check: our own words for whom to call; common practice, no source.
import { describe, expect, it } from "vitest";

import { numbersOf } from "./numbers";

const card = { phone: "1", contact_name: "Daughter", contact_phone: "2" };
const house = { name: "The house", phone: "3" };

describe("whom to call about a client", () => {
  it("is the client, then the person to contact, then the house", () => {
    expect(numbersOf(card, house)).toEqual([
      { who: "", phone: "1" },
      { who: "Daughter", phone: "2" },
      { who: "The house", phone: "3" },
    ]);
  });

  it("is nobody without a number, and each number once", () => {
    expect(numbersOf({ ...card, phone: "" }, undefined)).toEqual([{ who: "Daughter", phone: "2" }]);
    expect(numbersOf({ ...card, contact_phone: "1" }, { ...house, phone: "1" })).toEqual([
      { who: "", phone: "1" },
    ]);
  });
});

import { describe, expect, it } from "vitest";
import { blankHouse, cardOf, changed, formOf, namedTwice, wrongTimes } from "./house-form";

const CARD = cardOf({ name: "House", address: "", phone: "", corridors: ["North", "South"] });

// Check: our own rule.
describe("the card of a facility as a form", () => {
  it("sends the fields that were changed, and no others", () => {
    const form = { ...blankHouse(), ...formOf(CARD) };
    expect(changed(CARD, form)).toEqual({});
    const at = { lat: 51.5, lon: -0.1, source: "device", accuracy_m: 5 } as const;
    form.position = at;
    expect(changed(CARD, form)).toEqual({ position: at });
    const { accuracy_m, ...rest } = at;
    // As a row of the server has its fields in an order of their own.
    expect(changed({ ...CARD, position: { accuracy_m, ...rest } }, form)).toEqual({});
    form.position = null;
    form.corridors = " South \n\nNorth\n";
    expect(changed(CARD, form)).toEqual({ corridors: ["South", "North"] });
  });

  it("names a quiet time that is not whole or ends first, and a corridor that is there twice", () => {
    const lunch = { name: "Lunch", starts: "12:00", ends: "13:00" };
    const turned = { name: "Rest", starts: "14:00", ends: "13:00" };
    const half = { name: "Tea", starts: "16:00", ends: "" };
    expect(wrongTimes([lunch, turned, half])).toEqual([turned, half]);
    expect([namedTwice("North\nnorth "), namedTwice("North\nSouth")]).toEqual([true, false]);
  });
});

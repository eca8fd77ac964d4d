/** The forms of the kit's cards. Checks: the shapes of kit/arguments.py; bleach of 5.25 % to 5,000 ppm: CDC, published. */
import { describe, expect, it } from "vitest";

import {
  blankInstrument,
  blankThing,
  type Card,
  cardOf,
  formOf,
  KINDS,
  lacks,
  type ProductForm,
} from "./form";
import { changeBy } from "./stock";

const SET: Card = {
  kind: "set",
  name: "Set 1",
  instruments: [
    {
      ...{ kind: "rotary_bit", name: "", count: 2, family: "diamond_large", head_mm: 6 },
      ...{ shank_mm: 2.35, grit: "", most_rpm: 30_000 },
    },
  ],
};
const PRODUCT: Card = {
  ...{ kind: "product", name: "Bleach", used_for: "both", active: "", registration: "" },
  ...{ batch: "", contact_minutes: 10, stock_percent: 5.25, use_ppm: 5000 },
  ...{ mixed_keeps_hours: 24, expires_on: "2027-01-31" },
};
const LOT: Card = {
  ...{ kind: "lot", name: "Gloves", supply: "gloves", lot: "A1" },
  ...{ expires_on: null, count: 100 },
};
const MACHINE: Card = {
  ...{ kind: "machine", name: "Kitchen", machine: "steam_vacuum", serial: "" },
  ...{ serviced_on: null, maker_minutes: { vacuum_wrapped_132: 6 } },
};

function product(changes: Partial<ProductForm>): ProductForm {
  return { ...(formOf(PRODUCT) as ProductForm), ...changes };
}

describe("a card", () => {
  it.each([SET, PRODUCT, LOT, MACHINE])(
    "of a $kind comes out of its form as it went in",
    (card) => {
      expect(cardOf(formOf(card))).toEqual(card);
    },
  );

  it.each(KINDS)("of a %s is none while its form is blank", (kind) => {
    const { card } = blankThing(kind);
    expect(cardOf(card)).toBeNull();
    expect(lacks(card).missing).toContain("kit_lacks.name");
  });

  it("of a machine leaves out the times that nobody gave", () => {
    const form = formOf(MACHINE);
    if (form.kind === "machine") form.maker_minutes["vacuum_wrapped_132"] = null;
    expect(cardOf(form)).toEqual({ ...MACHINE, maker_minutes: {} });
  });
});

describe("a product", () => {
  it("that is mixed lacks both strengths until they are there", () => {
    const { missing } = lacks(product({ stock_percent: null, use_ppm: null }));
    expect(missing).toEqual(["kit_lacks.stock_percent", "kit_lacks.use_ppm"]);
  });

  it("cannot be mixed to more than is in the bottle", () => {
    expect(lacks(product({ stock_percent: 0.5, use_ppm: 5000 })).wrong).toEqual([]);
    expect(lacks(product({ stock_percent: 0.4, use_ppm: 5000 })).wrong).toEqual([
      "kit_lacks.use_ppm",
    ]);
  });

  it("that comes ready keeps no strength that was typed before", () => {
    expect(cardOf(product({ mixed: false }))).toMatchObject({
      ...{ stock_percent: null, use_ppm: null, mixed_keeps_hours: null },
    });
  });

  it("needs somebody to say whether it is mixed", () => {
    expect(lacks(product({ mixed: null })).missing).toEqual(["kit_lacks.mixed"]);
  });
});

describe("a set", () => {
  it("gives a bit the usual shank and nothing else one", () => {
    expect(blankInstrument("rotary_bit").shank_mm).toBe(2.35);
    expect(blankInstrument("nippers").shank_mm).toBeNull();
  });

  it("is not right with half an instrument", () => {
    const form = formOf(SET);
    if (form.kind === "set") form.instruments = [{ ...blankInstrument("nippers"), count: 1.5 }];
    expect(lacks(form).wrong).toEqual(["kit_lacks.instruments"]);
    expect(cardOf(form)).toBeNull();
  });
});

describe("a change of what is left", () => {
  it("is what came in, what was thrown away, or what a count makes of it", () => {
    expect(changeBy("came_in", 50, 7)).toBe(50);
    expect(changeBy("thrown_away", 5, 7)).toBe(-5);
    expect(changeBy("counted", 4, 7)).toBe(-3);
    expect(changeBy("counted", 4, -2)).toBe(6);
  });
});

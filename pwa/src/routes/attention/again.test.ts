/** What was typed into a refused entry is shown in full, and comes back on its own screen. Our own rule. */
import { describe, expect, it } from "vitest";

import { backTo } from "./again";
import { typedIn } from "./typed";

describe("what was typed", () => {
  it("is all there, line by line, lists and parts included", () => {
    const args = {
      client: "c",
      note: 'She said "later"',
      decides_for_self: false,
      authority: "",
      places: ["left_heel", "crack"],
      bits: [{ family: "diamond_large", head_mm: 6, places: ["left_heel"] }],
    };
    expect(typedIn(args).map(({ field, value }) => `${field} = ${value}`)).toEqual([
      "client = c",
      'note = She said "later"',
      "decides for self = false",
      "places = left_heel, crack",
      "bits 1: family = diamond_large",
      "bits 1: head mm = 6",
      "bits 1: places = left_heel",
    ]);
  });
});

describe("a refused entry", () => {
  it("comes back to the form it was typed on, under that form's draft", () => {
    const args = { screen: "s", client: "c", answers: { diabetes: true }, answered_by: "client" };
    expect(backTo("record_screen", { ...args, answered_by_name: "" })).toMatchObject({
      draft: "screen/c",
      to: "/client/c/screen",
      value: { answers: { diabetes: true }, begun: true },
    });
  });

  it("does not pretend to where nothing was typed", () => {
    expect(backTo("revoke_device", { device: "d" })).toBeNull();
  });
});

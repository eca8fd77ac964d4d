/** How the answers of a screen are told afterwards. Check: our own rule. */
import { describe, expect, it } from "vitest";

import { bookOf } from "../../domain/screening/vectors";
import { answerGroups, unknownAnswers } from "./lines";

const book = bookOf("base");
const BEFORE = { answers: { diabetes: false, thin_skin: true, heart_trouble: false } };
const NOW = {
  answers: { diabetes: false, thin_skin: false, heart_trouble: false, gone_since: true },
  confirmed: ["diabetes"],
};
const told = (earlier?: typeof BEFORE) =>
  Object.fromEntries(
    answerGroups(book, NOW, earlier).flatMap(({ lines }) =>
      lines.map(({ question, how }) => [question.id, how]),
    ),
  );

describe("an earlier screen", () => {
  it("says which answers were confirmed, which changed, and which were asked", () => {
    const how = { diabetes: "confirmed", thin_skin: "changed", heart_trouble: "asked" };
    expect(told(BEFORE)).toEqual(how);
  });

  it("says of nothing that it changed where the phone does not have the one before", () => {
    expect(told()).toEqual({ diabetes: "confirmed", thin_skin: "asked", heart_trouble: "asked" });
  });

  it("leaves out what nobody answered, and counts what this edition does not know", () => {
    expect(Object.keys(told())).toHaveLength(3);
    expect(unknownAnswers(book, NOW)).toBe(1);
  });
});

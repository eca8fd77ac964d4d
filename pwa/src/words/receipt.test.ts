/** The words of a receipt: the server prints it by the same. Check: each language says all; the rest is a snapshot. */
import { describe, expect, it } from "vitest";

import { RECEIPT_LANGUAGES, receiptWords } from "./receipt";

const FILE = "../../../backend/heelwright/takings/receipt_words.json";

describe("the words of a receipt", () => {
  it("are those by which the server prints it", async () => {
    const all = Object.fromEntries(RECEIPT_LANGUAGES.map((one) => [one, receiptWords(one)]));
    await expect(`${JSON.stringify(all, null, 2)}\n`).toMatchFileSnapshot(FILE);
  });

  it("hold the same amounts and rates in each language", () => {
    const holes = (text: string) => (text.match(/\{\w+\}/g) ?? []).sort();
    const [english, spanish] = [receiptWords("en"), receiptWords("es")];
    for (const [key, text] of Object.entries(english)) {
      expect(holes(spanish[key as keyof typeof english]), key).toEqual(holes(text));
    }
  });
});

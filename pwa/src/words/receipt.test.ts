/** The words of a receipt: the server prints it by the same. Check: each language says all; the rest is a snapshot. */
import { describe, expect, it } from "vitest";

import { receiptDay, RECEIPT_LANGUAGES, receiptWords } from "./receipt";

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

  // Check: Unicode CLDR, by the engine's own Intl.
  it.each([
    ["en", "en-GB"],
    ["es", "es"],
  ] as const)("tell a day in %s as people there write it", (language, locale) => {
    const writer = new Intl.DateTimeFormat(locale, { dateStyle: "long", timeZone: "UTC" });
    for (let month = 1; month <= 12; month++) {
      const day = `2026-${String(month).padStart(2, "0")}-07`;
      expect(receiptDay(receiptWords(language), day)).toBe(writer.format(new Date(day)));
    }
  });
});

/**
 * The server's letter says the sentences of the phone's letter and draws its foot map: both are written for it
 * from here. After a change: `npx vitest run src/routes/referral -u`. Check: our own rule.
 */
import { expect, it } from "vitest";

import { BOX, NAILS, OUTLINE, REGIONS } from "../../parts/foot/regions";
import { en } from "../../words/en";

const INTAKE = "../../../../backend/heelwright/intake";

function written(value: unknown): string {
  return `${JSON.stringify(value, null, 2)}\n`;
}

it("gives the server the same sentences", async () => {
  const sentences = Object.entries(en).filter(([key]) => key.startsWith("letter."));
  const units = Object.entries(en).filter(([key]) => key.startsWith("unit."));
  const words = Object.fromEntries([
    ...units,
    ...sentences.map(([key, word]) => [key.replace("letter.", ""), word] as const),
    ["emergency_means", en["outcome.means.emergency"]],
  ]);
  await expect(written(words)).toMatchFileSnapshot(`${INTAKE}/letter_words.json`);
});

it("gives the server the same foot map", async () => {
  const map = { box: BOX, outline: OUTLINE, nails: NAILS, regions: REGIONS };
  await expect(written(map)).toMatchFileSnapshot(`${INTAKE}/foot_map.json`);
});

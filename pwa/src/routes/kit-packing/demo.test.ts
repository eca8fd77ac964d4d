/**
 * The packing list of the invented practice, reckoned by hand. The rows are what the server gives Tobias's phone on
 * Wednesday 25 November 2026 at 06:30 (tests/demo/phone_rows.py, which checks that they are those of the demo); the
 * counts of a visit, the margin and the soak are the book of the UK's. Check: our own rules.
 *
 * Tobias, Thursday 26 November, all at Sallow Court:
 *   08:45  Walter Pinnegar-Low     cannot say that pinpoint is felt: diamond bits alone
 *   09:45  Hedwig Sommerfeld-Auer  diabetic, feels too little: diamond bits alone
 *   10:45  Clement Ravensworthy    fragile skin: fine diamond alone
 * And on Wednesday 25 November, not begun yet: six visits, from 08:45 on.
 *
 * His own box has heel sets 1 and 2. Clean in the cupboard lies heel set 5. In others' boxes are heel sets 3 and 4 and
 * fine set 1; nail set 2 is unclear.
 */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";

import { kitAt, type KitRows } from "../../domain/kit/kit";
import { packingList, visitsOn } from "../../domain/kit/packing";
import { bookOf } from "../../domain/screening/vectors";
import { dayKey, setPlace } from "../../words/format";
import { clientFile, type FileRows } from "../client/file";

const file = new URL("../../../../tests/demo/packing.json", import.meta.url);
const demo = JSON.parse(readFileSync(file, "utf-8")) as {
  now: string;
  me: string;
  rows: KitRows & FileRows;
};
const now = new Date(demo.now);
const book = bookOf("uk");
setPlace({ zone: "Europe/London", units: "mm" }, ["en-GB"]);
const none = { kit_use: [], checklist: [], consent: [], consent_choice: [] };
const rows = { ...demo.rows, ...none, signing_offer: [], visit: [], mishap: [] };
const kit = kitAt(book, rows, now);

function packed(day: string) {
  const visits = visitsOn(rows.booking, [], { day, staff: demo.me, dayOf: dayKey });
  const files = visits.map(({ row }) =>
    clientFile(book, rows, row.client, { at: now, day: dayKey(now) }),
  );
  const allowed = files.map((of) => of?.judgement?.limits.bits_allowed ?? null);
  const list = packingList(book, kit, { day, staff: demo.me, visits: allowed, dayOf: dayKey });
  const who = files.map((of) => of?.client.row.name);
  return { who, allowed, list, at: visits.map(({ row }) => row.starts_at) };
}

const count = (list: ReturnType<typeof packed>["list"], supply: string) => {
  const line = list.items.find((item) => item.supply === supply);
  return line && [line.needed, line.have, line.short];
};
const names = (sets: readonly { card: { name: string } }[]) => sets.map(({ card }) => card.name);

describe("tomorrow", () => {
  const { who, allowed, list, at } = packed("2026-11-26");

  it("has three visits, all of them with limits", () => {
    // London is at UTC in November.
    expect(at).toEqual(["08:45", "09:45", "10:45"].map((time) => `2026-11-26T${time}:00Z`));
    expect(who).toEqual(["Walter Pinnegar-Low", "Hedwig Sommerfeld-Auer", "Clement Ravensworthy"]);
    expect(allowed).toEqual([
      ["diamond_fine_two_sided", "diamond_large"],
      ["diamond_fine_two_sided", "diamond_large"],
      ["diamond_fine_two_sided"],
    ]);
  });

  it("needs four sets, and one of them is short", () => {
    // 3 visits; 20 % of 3 is 0.6, so 1 spare. There are heel sets 1, 2 and 5.
    expect(list.sets).toMatchObject({ needed: 4, spare: 1, have: 3, short: 1, ruled_out: [] });
    // Since they were first packed, set 1 was used on 29 October, 3 and 19 November; set 2 on 29 October, 6 and 20 November.
    expect(names(list.sets.chosen)).toEqual(["Heel set 1", "Heel set 2", "Heel set 5"]);
    // Stored too long, the carbide set needs a cycle too, and nobody of the day may have its bits.
    // Two phones told different things of nail set 2, which has nippers and no bits.
    expect(list.sets.in_time.map(({ set, from }) => [set.card.name, from])).toEqual([
      ["Heel set 6", "drying"],
      ["Fine set 2", "washing"],
      ["Nail set 1", "dirty"],
      ["Nail set 2", "unclear"],
    ]);
    expect(names(list.tools)).toEqual(["Handpiece 1"]);
  });

  it("needs these items, and a mask is short", () => {
    const found = Object.fromEntries(list.items.map(({ supply }) => [supply, count(list, supply)]));
    // 14 visits since 29 October took gloves, a mask, a buffer and wipes; masks were counted anew, and are 3.
    expect(found).toEqual({
      gloves: [6 + 2, 400 - 14 * 2, 0], // 20 % of 6 is 1.2
      mask: [3 + 1, 3, 1],
      apron: [3 + 1, 200, 0],
      couch_paper: [3 + 1, 150, 0],
      towel: [3 + 1, 300, 0],
      barrier_sleeve: [3 + 1, 120, 0],
      sanding_band: [6 + 2, 250, 0],
      buffer: [3 + 1, 120 - 14, 0],
      orange_stick: [3 + 1, 150, 0],
      wipe: [18 + 4, 600 - 14 * 6, 0], // 20 % of 18 is 3.6; the 40 of lot W-61 are over since 19 November
      waste_bag: [3 + 1, 200, 0],
    });
    expect(list.items.flatMap(({ over }) => over.map(({ card }) => card.lot))).toEqual(["W-61"]);
  });

  it("needs a litre to disinfect in", () => {
    // 4 sets with 250 ml. The concentrate has 10 %, that is 100,000 ppm, and is used at 5000: a twentieth.
    expect(list.soak.ml).toBe(1000);
    expect(list.soak.ways.map(({ product, recipe }) => [product.card.name, recipe])).toEqual([
      ["Quillmere instrument concentrate", { stock_ml: 50, water_ml: 950 }],
      ["Quillmere ready disinfectant", null],
    ]);
    // Mixed on Tuesday evening, it keeps for 168 hours: until Tuesday 1 December.
    expect(list.soak.ways[0]?.mixes.map(({ row }) => row.keeps_until)).toEqual([
      "2026-12-01T19:30:00Z",
    ]);
  });
});

describe("today", () => {
  const { who, list } = packed("2026-11-25");

  it("has six visits, and most is short", () => {
    expect(who).toHaveLength(6);
    // 20 % of 6 is 1.2, so 2 spare.
    expect(list.sets).toMatchObject({ needed: 8, spare: 2, have: 3, short: 5 });
    // 6 and 2; 12 and 3; 36 and 8.
    expect(count(list, "mask")).toEqual([8, 3, 5]);
    expect(count(list, "gloves")?.[0]).toBe(15);
    expect(count(list, "wipe")?.[0]).toBe(44);
    expect(list.soak.ml).toBe(2000);
  });
});

/** Check: our own rule. Other tabs hear at most once a moment that there is something new, and never miss the last. */
import fc from "fast-check";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";

import type { Word } from "../../src/store/phone";
import { TabWords } from "../../src/store/tab_words";

let told: { word: Word; at: number }[];
let words: TabWords;

beforeEach(() => {
  vi.useFakeTimers({ now: 0 });
  told = [];
  words = new TabWords((word) => told.push({ word, at: Date.now() }));
});

afterEach(() => {
  vi.useRealTimers();
});

const heard = () => told.map(({ word, at }) => `${word} ${at}`);

describe("word to other tabs", () => {
  it("of many commands is said at once, then once in 250 ms, and after the last", () => {
    for (let made = 0; made < 24; made += 1) {
      words.say("commands");
      vi.advanceTimersByTime(25);
    }
    vi.advanceTimersByTime(500);
    expect(heard()).toEqual(["commands 0", "commands 250", "commands 500", "commands 750"]);
    words.say("commands");
    expect(heard().at(-1)).toBe("commands 1100");
  });

  it("of a lock, another person or a round is said at once, after what came before it", () => {
    words.say("commands");
    words.say("rows");
    words.say("in_step");
    words.say("commands");
    words.say("locked");
    expect(heard()).toEqual(["commands 0", "rows 0", "in_step 0", "commands 0", "locked 0"]);
    vi.advanceTimersByTime(500);
    expect(told).toHaveLength(5);
  });

  it("does not wait for its moment where the page is put away", () => {
    words.say("commands");
    words.say("commands");
    words.say("rows");
    words.sayWaiting();
    expect(heard()).toEqual(["commands 0", "commands 0", "rows 0"]);
  });

  it("never misses the last of a kind, whatever was said when", () => {
    const word = fc.constantFrom<Word>("commands", "rows", "in_step", "locked", "identity");
    const said = fc.tuple(word, fc.integer({ min: 0, max: 120 }));
    fc.assert(
      fc.property(fc.array(said), (all) => {
        told = [];
        const last = new Map<Word, number>();
        for (const [each, pause] of all) {
          words.say(each);
          last.set(each, Date.now());
          vi.advanceTimersByTime(pause);
        }
        vi.advanceTimersByTime(250);
        for (const [each, at] of last) {
          const heardAt = told.filter(({ word: other }) => other === each).at(-1)?.at ?? -1;
          expect(heardAt).toBeGreaterThanOrEqual(at);
          expect(heardAt - at).toBeLessThanOrEqual(250);
        }
        vi.advanceTimersByTime(500);
      }),
    );
  });
});

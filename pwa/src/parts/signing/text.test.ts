/** The text that is signed, as it is shown. Check: our own rule. */
import { describe, expect, it } from "vitest";

import { paragraphsOf } from "./text";

describe("the paragraphs of a consent text", () => {
  it("are led by their first sentence when more follow", () => {
    expect(paragraphsOf("You can say stop. At any time.\n\nOne alone.")).toEqual([
      { lead: "You can say stop.", rest: " At any time." },
      { lead: "", rest: "One alone." },
    ]);
  });

  it("hold every word", () => {
    const words = "What we keep. Notes, at 2.5 mm. Ask us!\nWho may sign? You.";
    const shown = paragraphsOf(words).map(({ lead, rest }) => lead + rest);
    expect(shown.join("\n")).toBe(words);
  });
});

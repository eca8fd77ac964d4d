/** The same vectors as tests/kit/test_labels.py, which says what the check finds. */
import { describe, expect, it } from "vitest";

import vectors from "../../../../tests/parity/labels.json" with { type: "json" };
import { drawLabel, readLabel } from "../../../src/domain/kit/labels";

describe("a label's code", () => {
  it.each(vectors.drawn)("is drawn as $label", ({ bytes, label }) => {
    const drawn = bytes.values();
    expect(
      drawLabel((into) => {
        into.set(drawn.next().value ?? []);
      }),
    ).toBe(label);
    expect(drawn.next().done).toBe(true);
  });

  it.each(vectors.read)("is read from $text", ({ text, label }) => {
    expect(readLabel(text)).toEqual({ label });
  });

  it.each(vectors.unreadable)("is not read from $text: $problem", ({ text, problem }) => {
    expect(readLabel(text)).toEqual({ problem });
  });

  it("is read again as it was drawn by this browser", () => {
    for (let times = 0; times < 500; times += 1) {
      const label = drawLabel((bytes) => crypto.getRandomValues(bytes));
      expect(readLabel(label.toLowerCase())).toEqual({ label });
    }
  });
});

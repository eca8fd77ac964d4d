/** What the page says. Check: our own rule; codes as decision record 0154 has them. */
import { describe, expect, it } from "vitest";

import { base64Url, linkOf, tokenIn } from "../../src/domain/signing-links";
import type { Phase } from "../../src/sign/course";
import { heardOf, MANY_TRIES, pauseAfter } from "../../src/sign/heard";
import { saidOf } from "../../src/sign/told";
import { HttpFault } from "../../src/wire/call";
import { languageOf, ownPhoneWords } from "../../src/words/own-phone";

describe("what the server's answer means", () => {
  it.each([
    ["link_over", { end: "over" }],
    ["link_taken", { end: "taken" }],
    ["link_answered", { end: "answered" }],
    ["link_unknown", { wait: "not_yet" }],
    ["no_connection", { wait: "no_line" }],
    ["not_our_server", { wait: "no_line" }],
    ["too_many", { wait: "trouble" }],
    ["server_trouble", { wait: "trouble" }],
    ["toString", { wait: "trouble" }],
  ])("%s", (code, means) => {
    expect(heardOf(new HttpFault(code, 0))).toEqual(means);
  });

  it.each([400, 401, 403, 405, 409, 410, 413, 415, 422])("%s is a no for good", (status) => {
    expect(heardOf(new HttpFault("language_unknown", status))).toEqual({ end: "refused" });
    expect(heardOf(new HttpFault("not_our_server", status))).toEqual({ wait: "no_line" });
    expect(heardOf(new HttpFault("server_trouble", status))).toEqual({ wait: "trouble" });
  });

  // RFC 9110 (404, 408, 5xx), RFC 8470 (425), RFC 6585 (429): these may be otherwise later.
  it.each([404, 408, 425, 429, 500, 502, 503])("%s is tried again", (status) => {
    expect(heardOf(new HttpFault("any", status))).toEqual({ wait: "trouble" });
  });

  it("ends nothing where it is no answer at all", () => {
    expect(heardOf(new TypeError("any"))).toEqual({ wait: "trouble" });
  });

  it("waits longer each time, and never long", () => {
    const pauses = [1, 2, 3, 4, 5, 6, 60].map(pauseAfter);
    expect(pauses).toEqual([2000, 4000, 8000, 16_000, 30_000, 30_000, 30_000]);
  });
});

const WAITS = [null, "no_line", "not_yet", "trouble"] as const;
const PHASES: (Exclude<Phase, { at: "asking" }> | null)[] = [
  null,
  { at: "done" },
  ...WAITS.flatMap((wait) =>
    [0, MANY_TRIES].map((tries) => ({ at: "opening", wait, tries }) as const),
  ),
  ...WAITS.flatMap((wait) => [true, false].map((kept) => ({ at: "sending", wait, kept }) as const)),
  ...(["over", "taken", "answered", "refused"] as const).flatMap((end) =>
    [true, false].map((sent) => ({ at: "ended", end, sent }) as const),
  ),
];

describe("what the page says", () => {
  it("is said in each language, whatever happens", () => {
    for (const phase of PHASES) {
      const { title, lines } = saidOf(phase);
      for (const word of [title, ...lines]) {
        const [english, spanish] = [ownPhoneWords("en")[word], ownPhoneWords("es")[word]];
        expect([english.length > 3, spanish.length > 3, english !== spanish]).toEqual([
          true,
          true,
          true,
        ]);
      }
    }
  });

  it("is done only when it is", () => {
    const done = PHASES.filter((phase) => saidOf(phase).title === "done");
    expect(done).toEqual([{ at: "done" }]);
  });

  it("says that it is kept only where it is", () => {
    expect(saidOf({ at: "sending", wait: null, kept: true }).title).toBe("kept");
    expect(saidOf({ at: "sending", wait: null, kept: false }).title).toBe("not_kept");
  });

  it("has a tap to go on wherever it waits", () => {
    for (const phase of PHASES) {
      const waiting = phase !== null && "wait" in phase && phase.wait !== null;
      expect(saidOf(phase).waits).toBe(waiting);
    }
  });

  it("says after a while that a link may be mistyped, and goes on trying", () => {
    const said = (wait: "not_yet" | "no_line", tries: number) =>
      saidOf({ at: "opening", wait, tries });
    expect(said("not_yet", MANY_TRIES - 1).title).toBe("not_yet");
    expect(said("not_yet", 1).lines).toContain("not_yet_wrong");
    expect(said("not_yet", MANY_TRIES)).toMatchObject({ title: "unknown", waits: true });
    // Without a line nothing is known of the link.
    expect(said("no_line", 60).title).toBe("no_line");
    const waited = Array.from({ length: MANY_TRIES - 1 }, (_, past) => pauseAfter(past + 1));
    expect(waited.reduce((sum, one) => sum + one, 0)).toBeLessThan(120_000);
  });

  it("is in the language of the phone", () => {
    expect(languageOf(["es-MX", "en"])).toBe("es");
    expect(languageOf(["fr-FR", "en-US", "es"])).toBe("en");
    expect(languageOf(["fr"])).toBe("en");
  });
});

describe("a link", () => {
  const token = base64Url(new Uint8Array(32).fill(251));

  it("holds its secret where no server sees it", () => {
    const link = new URL(linkOf("https://feet.example", token));
    expect(tokenIn(link.hash)).toBe(token);
    expect(`${link.pathname}${link.search}`).toBe("/sign.html");
  });

  it("is not whole without all of it", () => {
    for (const part of ["", "#", `#${token.slice(1)}`, `#${token}A`, `#${token.slice(1)}=`]) {
      expect(tokenIn(part)).toBeNull();
    }
  });

  it("is base64url (RFC 4648 section 10 and 5)", () => {
    // RFC 4648 section 10: "foobar" is Zm9vYmFy; section 5: 62 and 63 are - and _.
    expect(base64Url(new TextEncoder().encode("foobar"))).toBe("Zm9vYmFy");
    expect(base64Url(Uint8Array.of(0xfb, 0xff))).toBe("-_8");
  });
});

/** The link for one's own calendar. Check: our own rule (decision 0191); its secret as in RFC 4648, section 5. */
import { describe, expect, it } from "vitest";

import { newSecret } from "../../parts/secret";
import { addressOf, blankLink, type HeldLink, isShown, sorted } from "./link";

function held(id: string, staff: string): HeldLink {
  const row = { staff, made_at: "2026-11-25T15:00:00Z", fetched_on: null };
  return { id, scope: staff, version: 1, pending: false, row };
}

describe("a link for a calendar", () => {
  it("has a new secret of 256 bits each time, and ends as calendar apps know it", () => {
    const [one, other] = [newSecret(), newSecret()];
    expect(one).toMatch(/^[A-Za-z0-9_-]{43}$/);
    expect(one).not.toBe(other);
    expect(new URL(addressOf("https://there.test", one)).pathname).toBe(`/api/calendar/${one}.ics`);
  });

  it("is told apart from those of others", () => {
    const [mine, theirs] = [held("a", "me"), held("b", "them")];
    expect(sorted([theirs, mine], "me")).toEqual({ own: mine, others: [theirs] });
    expect(sorted([], "me")).toEqual({ own: null, others: [] });
  });

  it("is shown while it is the one that this phone has made, until it is put away", () => {
    const form = { link: "a", secret: "s" };
    expect(isShown(form, held("a", "me"))).toBe(true);
    expect(isShown(form, held("b", "me"))).toBe(false);
    expect(isShown(form, null)).toBe(false);
    expect(isShown(blankLink(), held("a", "me"))).toBe(false);
  });
});

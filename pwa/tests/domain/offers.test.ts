/** How far a link has come. Check: our own rule, decision record 0154; the times are those that it names. */
import { describe, expect, it } from "vitest";

import { type Offer, offerState, stillAwaited } from "../../src/domain/offers";
import { secondsAhead, serverTime } from "../../src/store/clock_off";

const OFFERED = Date.parse("2026-11-26T09:00:00Z");
const MINUTE = 60_000;
const DAY = 24 * 60 * MINUTE;

function after(milliseconds: number): string {
  return new Date(OFFERED + milliseconds).toISOString();
}

function offer(row: Partial<Offer["row"]> = {}, version = 1): Offer {
  const blank = { opened_at: null, answered_at: null, ended_at: null };
  return { version, row: { open_until: after(60 * MINUTE), ...blank, ...row } };
}

function at(minutes: number): Date {
  return new Date(OFFERED + minutes * MINUTE);
}

describe("a link to sign", () => {
  it("waits as long as the server does not have it, for its hour begins there", () => {
    expect(offerState(offer({}, 0), at(1))).toBe("waiting");
    expect(offerState(offer({}, 0), at(600))).toBe("waiting");
  });

  it("opens for an hour", () => {
    expect(offerState(offer(), at(59))).toBe("open");
    expect(offerState(offer(), at(60))).toBe("over");
  });

  it("may be answered for seven days by the phone that opened it", () => {
    const opened = offer({ opened_at: after(10 * MINUTE) });
    expect(offerState(opened, at(300))).toBe("opened");
    expect(offerState(opened, new Date(OFFERED + 7 * DAY + 59 * MINUTE))).toBe("opened");
    expect(offerState(opened, new Date(OFFERED + 7 * DAY + 60 * MINUTE))).toBe("over");
  });

  it("is answered, whatever became of it besides", () => {
    const answered = { opened_at: after(1), answered_at: after(2), ended_at: after(3) };
    expect(offerState(offer(answered), at(900))).toBe("answered");
  });

  it("is ended at once where it was taken back, with no signal as well", () => {
    expect(offerState(offer({ ended_at: after(5) }, 0), at(1))).toBe("ended");
    expect(offerState(offer({ opened_at: after(1), ended_at: after(5) }), at(1))).toBe("ended");
  });

  it("opens as long as the server says, on a phone whose clock is off", () => {
    const [early, late] = [new Date(at(59).getTime()), new Date(at(60).getTime())];
    for (const minutes of [-600, -61, 61, 600]) {
      const onPhone = (moment: Date) => new Date(moment.getTime() + minutes * MINUTE);
      const ahead = secondsAhead(after(0), onPhone(at(0)), onPhone(at(0)));
      expect(offerState(offer(), serverTime(onPhone(early), ahead))).toBe("open");
      expect(offerState(offer(), serverTime(onPhone(late), ahead))).toBe("over");
    }
  });

  it("is awaited until it is answered, over or ended", () => {
    const all = ["waiting", "open", "opened", "answered", "over", "ended"] as const;
    expect(all.filter(stillAwaited)).toEqual(["waiting", "open", "opened"]);
  });
});

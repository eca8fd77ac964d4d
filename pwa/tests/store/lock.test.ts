import { beforeEach, describe, expect, it } from "vitest";

import { Clock, valueOf } from "../fakes/phone";
import { Lock, LOCK_SETTINGS } from "../../src/store/lock";
import { importKey, randomBytes } from "../../src/store/seal";

let clock: Clock;
let lock: Lock;
const phase = () => valueOf(lock.state).phase;

beforeEach(async () => {
  clock = new Clock();
  lock = new Lock(LOCK_SETTINGS, clock.now);
  lock.close("locked");
  lock.opened({ key: await importKey(randomBytes(32)), numbers_from: 0 }, "unlocked");
  lock.setPin("2580");
});

describe("idle", () => {
  it("covers after two minutes and locks after fifteen", () => {
    clock.pass(119);
    lock.tick();
    expect(phase()).toBe("unlocked");
    clock.pass(1);
    lock.tick();
    expect(phase()).toBe("covered");
    clock.pass(780);
    lock.tick();
    expect(phase()).toBe("locked");
    expect(() => lock.key()).toThrow("locked");
  });

  it("counts from the last touch", () => {
    for (let minute = 0; minute < 60; minute += 1) {
      clock.pass(60);
      lock.touched();
    }
    expect(phase()).toBe("unlocked");
  });

  it("counts the time asleep before the touch that wakes the phone", () => {
    clock.pass(3600);
    lock.touched();
    expect(phase()).toBe("locked");
  });

  it("locks when the clock was set far back, and not when it was set right", () => {
    clock.pass(-30);
    lock.tick();
    expect(phase()).toBe("unlocked");
    clock.pass(-3600);
    lock.tick();
    expect(phase()).toBe("locked");
  });
});

describe("while first aid is on the screen", () => {
  // Our own rule. The longest of the book's steps are ten minutes of pressing and twenty of cooling: from memory.
  it("stays open through ten minutes without a touch, and locks after thirty", () => {
    lock.setInUse(true);
    clock.pass(600);
    lock.tick();
    expect(phase()).toBe("unlocked");
    clock.pass(1199);
    lock.tick();
    expect(phase()).toBe("unlocked");
    clock.pass(1);
    lock.tick();
    expect(phase()).toBe("locked");
  });

  it("counts from the last touch, also the one that leaves the steps", () => {
    lock.setInUse(true);
    clock.pass(1000);
    lock.touched();
    lock.setInUse(false);
    clock.pass(119);
    lock.tick();
    expect(phase()).toBe("unlocked");
  });

  it("is covered or locked at once when the steps are gone without a touch", () => {
    lock.setInUse(true);
    clock.pass(600);
    lock.setInUse(false);
    lock.tick();
    expect(phase()).toBe("covered");
  });

  it("locks when the clock was set far back", () => {
    lock.setInUse(true);
    clock.pass(-3600);
    lock.tick();
    expect(phase()).toBe("locked");
  });
});

describe("the PIN", () => {
  it("uncovers, and keeps the key while covered", () => {
    lock.cover();
    expect(lock.key()).toBeDefined();
    lock.uncover("2580");
    expect(phase()).toBe("unlocked");
  });

  it("gives way to the passphrase after five wrong tries", () => {
    lock.cover();
    for (let left = 4; left >= 1; left -= 1) {
      expect(() => {
        lock.uncover("0000");
      }).toThrow("wrong_pin");
      expect(valueOf(lock.state).pin_tries_left).toBe(left);
    }
    expect(() => {
      lock.uncover("0000");
    }).toThrow("pin_gone");
    expect(phase()).toBe("locked");
    expect(() => {
      lock.uncover("2580");
    }).toThrow("locked");
    expect(valueOf(lock.state).pin_set).toBe(false);
  });

  it.each(["123", "1234567", "12a4", ""])("may not be %j", (pin) => {
    expect(() => {
      lock.setPin(pin);
    }).toThrow("pin_not_digits");
  });

  it("does not uncover a phone that has lain for too long", () => {
    lock.cover();
    clock.pass(901);
    expect(() => {
      lock.uncover("2580");
    }).toThrow("locked");
  });

  it("cannot be set from under the cover", () => {
    lock.cover();
    expect(() => {
      lock.setPin("1111");
    }).toThrow("locked");
  });
});

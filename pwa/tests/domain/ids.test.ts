import fc from "fast-check";
import { expect, it } from "vitest";

import { momentOf, uuid7 } from "../../src/domain/ids";

it("makes the published example", () => {
  // Published: RFC 9562, appendix A.6. rand_a is CC3, rand_b is 18C4DC0C0C07398F; the version and
  // variant bits that the example sets are masked away here.
  const random = new Uint8Array([0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
  expect(uuid7(0x017f22e279b0, random)).toBe("017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
});

it("reads the time of the published example back", () => {
  // Published: RFC 9562, appendix A.6: Tuesday, February 22, 2022 2:22:22.00 PM GMT-05:00.
  const made = momentOf("017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
  expect(made.toISOString()).toBe("2022-02-22T19:22:22.000Z");
});

it("sorts by time, and always has version and variant", () => {
  const moment = fc.integer({ min: 0, max: 2 ** 47 });
  const random = fc.uint8Array({ minLength: 10, maxLength: 10 });
  fc.assert(
    fc.property(moment, moment, random, random, (one, other, a, b) => {
      const [first, second] = [uuid7(one, a), uuid7(other, b)];
      if (one < other) expect(first < second).toBe(true);
      expect(first).toMatch(
        /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/,
      );
    }),
  );
});

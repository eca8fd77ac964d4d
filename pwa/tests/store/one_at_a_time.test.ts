/** Check: our own rule. What was asked for while a go ran is done after it, whatever came of that go. */
import { describe, expect, it } from "vitest";

import { OneAtATime } from "../../src/store/one_at_a_time";

/** Goes that end as they are told to, each when it is let. */
function goes() {
  const ends: ((cause?: Error) => void)[] = [];
  const work = new OneAtATime(
    () =>
      new Promise((resolve, reject) => {
        ends.push((cause) => {
          if (cause) reject(cause);
          else resolve();
        });
      }),
  );
  const end = async (go: number, cause?: Error) => {
    await expect.poll(() => ends.length).toBe(go + 1);
    ends[go]?.(cause);
  };
  return { work, end, begun: () => ends.length };
}

describe("one go at a time", () => {
  it("has one go follow, however often it was asked for meanwhile", async () => {
    const { work, end, begun } = goes();
    const asked = [work.run(), work.run(), work.run()];
    expect(begun()).toBe(1);
    await end(0);
    await end(1);
    await Promise.all(asked);
    expect(begun()).toBe(2);
  });

  it("has a go follow one that fails, and ends as that does", async () => {
    const { work, end } = goes();
    const asked = [work.run(), work.run()];
    await end(0, new Error("cut"));
    await end(1);
    await expect(Promise.all(asked)).resolves.toBeDefined();
    const failing = [work.run(), work.run()];
    await end(2);
    await Promise.all([end(3, new Error("cut")), expect(failing[1]).rejects.toThrow("cut")]);
    await expect(failing[0]).rejects.toThrow("cut");
  });

  it("fails where nothing was asked for meanwhile, and goes again with the next call", async () => {
    const { work, end, begun } = goes();
    await Promise.all([expect(work.run()).rejects.toThrow("cut"), end(0, new Error("cut"))]);
    await Promise.all([work.run(), end(1)]);
    expect(begun()).toBe(2);
  });

  it("has none follow once no more was wanted", async () => {
    const { work, end, begun } = goes();
    const asked = [work.run(), work.run()];
    work.noMore();
    await end(0);
    await Promise.all(asked);
    expect(begun()).toBe(1);
  });
});

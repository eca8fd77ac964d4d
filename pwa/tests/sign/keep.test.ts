/** What is kept on a client's phone. Check: our own rule. */
import { afterEach, describe, expect, it, vi } from "vitest";

import { Keep } from "../../src/sign/keep";

const NAME = "heelwright-signing";
const DAY_MS = 24 * 3600 * 1000;
const SECRET = "Ada Invented said no";

function keepOf(link: string, at = 0): Keep {
  return new Keep(link, () => at);
}

/** With its phone's secret, as every link that was begun. */
async function begun(link: string, at = 0): Promise<Keep> {
  const keep = keepOf(link, at);
  await keep.once("phone", "mine");
  return keep;
}

async function onDisk(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME);
    asked.onsuccess = () => {
      resolve(asked.result);
    };
    asked.onerror = () => {
      reject(asked.error ?? new Error("not opened"));
    };
  });
}

async function all(store: string): Promise<unknown[]> {
  const db = await onDisk();
  if (!db.objectStoreNames.contains(store)) return (db.close(), []);
  const asked = db.transaction(store).objectStore(store).getAll();
  return new Promise((resolve) => {
    asked.onsuccess = () => {
      db.close();
      resolve(asked.result as unknown[]);
    };
  });
}

afterEach(() => {
  vi.restoreAllMocks();
});

describe("what is kept on a client's phone", () => {
  it("is there for a page that is opened again", async () => {
    await (await begun("a")).write("form", { said: SECRET });
    expect(await keepOf("a").read("form")).toEqual({ said: SECRET });
    expect(await keepOf("another").read("form")).toBeNull();
  });

  it("is sealed, under a key that the browser does not give out", async () => {
    await (await begun("sealed")).write("form", { said: SECRET });
    const bytes = ((await all("kept")) as { ct: Uint8Array }[]).map(({ ct }) => [...ct]);
    expect(bytes.length).toBeGreaterThan(0);
    const text = bytes.map((each) => String.fromCharCode(...each)).join("");
    expect(text).not.toContain("Ada");
    const [key] = (await all("keys")) as CryptoKey[];
    expect(key?.extractable).toBe(false);
    expect(key?.algorithm).toMatchObject({ name: "AES-GCM", length: 256 });
  });

  it("is said once, whichever page of the phone is first", async () => {
    const [one, other] = [await begun("twice"), await begun("twice")];
    const stands = await Promise.all([one.once("done", "first"), other.once("done", "second")]);
    expect(new Set(stands).size).toBe(1);
    expect(await keepOf("twice").read("done")).toBe(stands[0]);
  });

  it("is the last one written, however fast they come", async () => {
    const keep = await begun("fast");
    await Promise.all(["a", "b", "c"].map((form) => keep.write("form", form)));
    expect(await keepOf("fast").read("form")).toBe("c");
  });

  it("is gone afterwards, and what belongs to another link stays", async () => {
    await (await begun("mine")).write("form", 1);
    await (await begun("theirs")).write("form", 2);
    await keepOf("mine").clear();
    expect(await keepOf("mine").read("form")).toBeNull();
    expect(await keepOf("theirs").read("form")).toBe(2);
  });

  it("stays gone where another page of the phone goes on", async () => {
    await begun("of somebody else");
    const [one, other] = [await begun("done"), await begun("done")];
    await other.write("form", { said: SECRET });
    await one.clear();
    await other.write("form", { said: SECRET });
    expect(await other.once("done", "second")).toBe("second");
    const links = ((await all("kept")) as { link: string }[]).map(({ link }) => link);
    expect(links).toContain("of somebody else");
    expect(links).not.toContain("done");
    expect([one.safe, other.safe]).toEqual([true, false]);
  });

  it("leaves nothing at all behind where it was the only one", async () => {
    for (const link of new Set(((await all("kept")) as { link: string }[]).map(({ link }) => link)))
      await keepOf(link).clear();
    await vi.waitFor(async () => {
      expect((await indexedDB.databases()).map(({ name }) => name)).not.toContain(NAME);
    });
  });

  it("does not outlive its link by more than a day", async () => {
    await (await begun("old")).write("form", 1);
    await (await begun("new", 7.5 * DAY_MS)).write("form", 2);
    await keepOf("any", 8.1 * DAY_MS).tidy();
    expect(await keepOf("old").read("form")).toBeNull();
    expect(await keepOf("new").read("form")).toBe(2);
  });

  it("outlives a clock that is put right, for the link that it is of", async () => {
    await (await begun("slow")).write("form", 1);
    await keepOf("slow", 16 * DAY_MS).tidy();
    expect(await keepOf("slow").read("form")).toBe(1);
  });

  it("stays in memory where the browser keeps nothing, and says so", async () => {
    vi.spyOn(indexedDB, "open").mockImplementation(() => {
      throw new DOMException("denied", "SecurityError");
    });
    const keep = keepOf("private");
    expect(await keep.once("phone", "mine")).toBe("mine");
    await keep.write("form", { said: SECRET });
    expect(await keep.read("form")).toEqual({ said: SECRET });
    expect(await keep.once("phone", "other")).toBe("mine");
    expect(keep.safe).toBe(false);
  });
});

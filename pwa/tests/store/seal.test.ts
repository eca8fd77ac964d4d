import { describe, expect, it } from "vitest";

import {
  lendNewKey,
  lendRecordKey,
  stretch,
  unwrapRecordKey,
  wrapRecordKey,
} from "../../src/store/passphrase";
import { importKey, open, openBytes, randomBytes, seal, sealBytes } from "../../src/store/seal";

const bytes = (hex: string) => new Uint8Array(Buffer.from(hex, "hex"));
const hex = (value: Uint8Array) => Buffer.from(value).toString("hex");

// Published: McGrew and Viega, "The Galois/Counter Mode of Operation", test case 16.
const CASE_16 = {
  key: "feffe9928665731c6d6a8f9467308308feffe9928665731c6d6a8f9467308308",
  iv: "cafebabefacedbaddecaf888",
  aad: "feedfacedeadbeeffeedfacedeadbeefabaddad2",
  plain:
    "d9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a72" +
    "1c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657ba637b39",
  sealed:
    "522dc1f099567d07f47f37a32a84427d643a8cdcbfe5c0c97598a2bd2555d1aa" +
    "8cb08e48590dbb3da7b08b1056828838c5f61e6393ba7a0abcc9f662" +
    "76fc6ece0f4e1768cddf8853bb2d551b",
};

// Published: RFC 7914 section 11, PBKDF2-HMAC-SHA-256; the first 32 of 64 bytes.
const RFC_7914 = [
  ["passwd", "salt", 1, "55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc"],
  ["Password", "NaCl", 80_000, "4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56"],
] as const;

function newRecordKey(passphrase: string) {
  return lendNewKey(async (raw) => ({
    key: await importKey(raw),
    wrapped: await wrapRecordKey(passphrase, raw),
  }));
}

describe("the cipher", () => {
  it("seals and opens the published case", async () => {
    const key = await importKey(bytes(CASE_16.key));
    const iv = bytes(CASE_16.iv);
    const aad = bytes(CASE_16.aad);
    const ct = await sealBytes(key, aad, iv, bytes(CASE_16.plain));
    expect(hex(ct)).toBe(CASE_16.sealed);
    expect(hex(await openBytes(key, aad, { iv, ct }))).toBe(CASE_16.plain);
  });

  it("opens a value in its own place, and in no other", async () => {
    const key = await importKey(randomBytes(32));
    const box = await seal(key, ["rows", "client", "a", "a", 1], { name: "Ana Żuraw" });
    expect(await open(key, ["rows", "client", "a", "a", 1], box)).toEqual({ name: "Ana Żuraw" });
    for (const other of [
      ["rows", "client", "b", "a", 1],
      ["rows", "client", "a", "b", 1],
      ["rows", "client", "a", "a", 2],
      ["drafts", "client", "a", "a", 1],
    ]) {
      await expect(open(key, other, box)).rejects.toMatchObject({ code: "record_damaged" });
    }
  });

  it("refuses a value of which any one bit was changed", async () => {
    const key = await importKey(randomBytes(32));
    const box = await seal(key, ["drafts", "x"], "heel");
    for (let at = 0; at < box.ct.length; at += 1) {
      const ct = box.ct.slice();
      ct[at] = (ct[at] ?? 0) ^ 1;
      await expect(open(key, ["drafts", "x"], { ...box, ct })).rejects.toThrow("record_damaged");
    }
  });
});

describe("the random bytes", () => {
  it("never come twice, and none is left out", () => {
    const drawn = Array.from({ length: 5_000 }, (_, turn) => randomBytes(turn % 2 === 0 ? 12 : 32));
    expect(new Set(drawn.map(hex)).size).toBe(drawn.length);
    // Of 110,000 bytes each value is about 430 times there; by chance alone never 200 more or fewer.
    const counts = new Array<number>(256).fill(0);
    for (const bytes of drawn) for (const byte of bytes) counts[byte] = (counts[byte] ?? 0) + 1;
    for (const count of counts) expect(Math.abs(count - 110_000 / 256)).toBeLessThan(200);
  });
});

describe("the passphrase", () => {
  it.each(RFC_7914)("stretches %s by RFC 7914", async (passphrase, salt, iterations, wanted) => {
    const salted = new TextEncoder().encode(salt);
    expect(hex(await stretch(passphrase, salted, iterations))).toBe(wanted);
  });

  it("opens what it wrapped, and nothing else does", async () => {
    const { key, wrapped } = await newRecordKey("a long passphrase");
    // OWASP Password Storage Cheat Sheet, from memory: 600,000 or more.
    expect(wrapped.iterations).toBeGreaterThanOrEqual(600_000);
    const again = await unwrapRecordKey("a long passphrase", wrapped);
    const box = await seal(key, ["drafts", "x"], 1);
    expect(await open(again, ["drafts", "x"], box)).toBe(1);
    await expect(unwrapRecordKey("a long Passphrase", wrapped)).rejects.toMatchObject({
      code: "wrong_passphrase",
    });
  });

  it("can be changed without a change of the key that it opens", async () => {
    const { key, wrapped } = await newRecordKey("a long passphrase");
    const box = await seal(key, ["drafts", "x"], 1);
    const rewrapped = await lendRecordKey("a long passphrase", wrapped, (raw) =>
      wrapRecordKey("another long one", raw),
    );
    expect(
      await open(await unwrapRecordKey("another long one", rewrapped), ["drafts", "x"], box),
    ).toBe(1);
    await expect(unwrapRecordKey("a long passphrase", rewrapped)).rejects.toThrow(
      "wrong_passphrase",
    );
  });

  it("lends the bytes of a key and then forgets them", async () => {
    const lent: Uint8Array[] = [];
    const { wrapped } = await newRecordKey("a long passphrase");
    await lendRecordKey("a long passphrase", wrapped, (raw) => {
      expect(raw.some((byte) => byte !== 0)).toBe(true);
      lent.push(raw);
      return Promise.reject(new Error("in the middle"));
    }).catch(() => undefined);
    expect(lent[0]).toEqual(new Uint8Array(32));
  });

  it("is the same however the keyboard composes its accents", async () => {
    const { wrapped } = await newRecordKey("caf\u00e9 at the corner");
    await expect(unwrapRecordKey("cafe\u0301 at the corner", wrapped)).resolves.toBeDefined();
  });

  it("does not hold when its parameters were changed", async () => {
    const { wrapped } = await newRecordKey("a long passphrase");
    const weaker = { ...wrapped, iterations: wrapped.iterations - 1 };
    await expect(unwrapRecordKey("a long passphrase", weaker)).rejects.toThrow("wrong_passphrase");
  });

  it("may not be short", async () => {
    await expect(newRecordKey("nine char")).rejects.toMatchObject({ code: "passphrase_too_short" });
  });
});

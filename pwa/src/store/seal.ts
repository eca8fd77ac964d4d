/**
 * Seals values with AES-256-GCM by WebCrypto. The place of a value is its associated data, so that a
 * sealed value cannot be moved to another place. What the key comes from is in passphrase.ts.
 */
import { Fault } from "./fault";

export interface Box {
  iv: Uint8Array<ArrayBuffer>;
  ct: Uint8Array<ArrayBuffer>;
}

/** Store, then whatever names the value there: kind, id, version. */
export type SealedAt = readonly (string | number)[];

const LAYOUT = "heelwright-box-1";
/** NIST SP 800-38D section 8.2.2: random nonces of 96 bits, at most 2^32 under one key. */
const NONCE_BYTES = 12;

const utf8 = new TextEncoder();
const text = new TextDecoder("utf-8", { fatal: true });

/** Drawn many at a time: asking the browser for each few would make "saved" come later. */
const drawn = new Uint8Array(4096);
let used = drawn.length;

/** At most 4,096. Each byte is given once and not kept: it may be of a key. */
export function randomBytes(length: number): Uint8Array<ArrayBuffer> {
  if (used + length > drawn.length) {
    crypto.getRandomValues(drawn);
    used = 0;
  }
  const bytes = drawn.slice(used, used + length);
  drawn.fill(0, used, used + length);
  used += length;
  return bytes;
}

export async function sealBytes(
  key: CryptoKey,
  aad: Uint8Array<ArrayBuffer>,
  iv: Uint8Array<ArrayBuffer>,
  plain: Uint8Array<ArrayBuffer>,
): Promise<Uint8Array<ArrayBuffer>> {
  const params = { name: "AES-GCM", iv, additionalData: aad, tagLength: 128 };
  return new Uint8Array(await crypto.subtle.encrypt(params, key, plain));
}

/** Throws `record_damaged` where the tag does not fit; never returns the sealed bytes. */
export async function openBytes(
  key: CryptoKey,
  aad: Uint8Array<ArrayBuffer>,
  box: Box,
): Promise<Uint8Array<ArrayBuffer>> {
  const params = { name: "AES-GCM", iv: box.iv, additionalData: aad, tagLength: 128 };
  try {
    return new Uint8Array(await crypto.subtle.decrypt(params, key, box.ct));
  } catch (cause) {
    throw new Fault("record_damaged", { cause });
  }
}

export function associatedData(place: SealedAt): Uint8Array<ArrayBuffer> {
  return utf8.encode(JSON.stringify([LAYOUT, ...place]));
}

export function seal(key: CryptoKey, place: SealedAt, value: unknown): Promise<Box> {
  return sealText(key, place, JSON.stringify(value));
}

/** `json` is the value's own text. */
export async function sealText(key: CryptoKey, place: SealedAt, json: string): Promise<Box> {
  const iv = randomBytes(NONCE_BYTES);
  return { iv, ct: await sealBytes(key, associatedData(place), iv, utf8.encode(json)) };
}

export async function open(key: CryptoKey, place: SealedAt, box: Box): Promise<unknown> {
  return JSON.parse(text.decode(await openBytes(key, associatedData(place), box)));
}

export async function importKey(raw: Uint8Array<ArrayBuffer>): Promise<CryptoKey> {
  return crypto.subtle.importKey("raw", raw, "AES-GCM", false, ["encrypt", "decrypt"]);
}

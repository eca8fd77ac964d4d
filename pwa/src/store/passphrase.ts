/** Wraps the random record key by a key from the passphrase. Knows nothing of records or phases. */
import { Fault } from "./fault";
import type { RecoveryCopy } from "./recovery";
import { associatedData, type Box, importKey, openBytes, randomBytes, sealBytes } from "./seal";

/** Stored as plain bytes: Safari may refuse to store a CryptoKey. */
export interface WrappedKey extends Box {
  kdf: "PBKDF2-SHA-256";
  iterations: number;
  salt: Uint8Array<ArrayBuffer>;
  /** The same record key, sealed for the practice; opens work whose passphrase is forgotten. */
  recovery?: RecoveryCopy;
}

export type RawKey = Uint8Array<ArrayBuffer>;

/** OWASP Password Storage Cheat Sheet: 600,000 or more for PBKDF2 with HMAC-SHA-256. */
export const ITERATIONS = 600_000;
/** Common practice, no source. */
export const SHORTEST_PASSPHRASE = 10;

const SALT_BYTES = 16;
const KEY_BYTES = 32;

export function checkPassphrase(passphrase: string): void {
  if (plainForm(passphrase).length < SHORTEST_PASSPHRASE) throw new Fault("passphrase_too_short");
}

/** Makes a random record key and lends its bytes to `use`: they are gone when that is done. */
export async function lendNewKey<T>(use: (raw: RawKey) => Promise<T>): Promise<T> {
  return lend(randomBytes(KEY_BYTES), use);
}

/** Lends the bytes of a record key likewise. Throws `wrong_passphrase` where the passphrase does not fit. */
export async function lendRecordKey<T>(
  passphrase: string,
  wrapped: WrappedKey,
  use: (raw: RawKey) => Promise<T>,
): Promise<T> {
  const stretched = await stretch(passphrase, wrapped.salt, wrapped.iterations);
  const wrapping = await importKey(stretched);
  let raw: RawKey;
  try {
    raw = await openBytes(wrapping, boundHeader(wrapped), wrapped);
  } catch (cause) {
    throw new Fault("wrong_passphrase", { cause });
  }
  return lend(raw, use);
}

/** The form of a record key that may be stored. */
export async function wrapRecordKey(passphrase: string, raw: RawKey): Promise<WrappedKey> {
  checkPassphrase(passphrase);
  const salt = randomBytes(SALT_BYTES);
  const iv = randomBytes(12);
  const wrapping = await importKey(await stretch(passphrase, salt, ITERATIONS));
  const header = { kdf: "PBKDF2-SHA-256", iterations: ITERATIONS, salt } as const;
  return { ...header, iv, ct: await sealBytes(wrapping, boundHeader(header), iv, raw) };
}

export async function unwrapRecordKey(passphrase: string, wrapped: WrappedKey): Promise<CryptoKey> {
  return lendRecordKey(passphrase, wrapped, importKey);
}

async function lend<T>(raw: RawKey, use: (raw: RawKey) => Promise<T>): Promise<T> {
  try {
    return await use(raw);
  } finally {
    raw.fill(0);
  }
}

/** PBKDF2-HMAC-SHA-256 to 32 bytes (RFC 8018). */
export async function stretch(
  passphrase: string,
  salt: Uint8Array<ArrayBuffer>,
  iterations: number,
): Promise<Uint8Array<ArrayBuffer>> {
  const secret = new TextEncoder().encode(plainForm(passphrase));
  const base = await crypto.subtle.importKey("raw", secret, "PBKDF2", false, ["deriveBits"]);
  const params = { name: "PBKDF2", hash: "SHA-256", salt, iterations };
  return new Uint8Array(await crypto.subtle.deriveBits(params, base, KEY_BYTES * 8));
}

/** Keyboards differ in how they compose accents, so one form is used (NIST SP 800-63B section 5.1.1.2). */
function plainForm(passphrase: string): string {
  return passphrase.normalize("NFKC");
}

function boundHeader(
  header: Pick<WrappedKey, "kdf" | "iterations" | "salt">,
): Uint8Array<ArrayBuffer> {
  return associatedData(["record_key", header.kdf, header.iterations, ...header.salt]);
}

/**
 * WebCrypto for the simulated phones, by the same library of Node but at once, without its threads: which
 * of two would be done first would differ from run to run. Passphrases are stretched by one round in place
 * of all, so that opening a phone costs no time; all else is computed in full.
 */
import {
  constants,
  createCipheriv,
  createDecipheriv,
  createHash,
  createHmac,
  createPublicKey,
  pbkdf2Sync,
  publicEncrypt,
} from "node:crypto";

import { Random } from "./random";

type Bytes = ArrayBuffer | ArrayBufferView<ArrayBuffer>;
interface Key {
  raw: Buffer;
  algorithm: string;
}
interface Params {
  name: string;
  iv: Bytes;
  additionalData?: Bytes;
  salt: Bytes;
  hash: string;
  label?: Bytes;
}

const TAG = 16;
let random = new Random(0);

export function seedPrimitives(seed: number): void {
  random = new Random(seed);
}

function bytes(from: Bytes): Buffer {
  return ArrayBuffer.isView(from)
    ? Buffer.from(from.buffer, from.byteOffset, from.byteLength)
    : Buffer.from(from);
}

function plain(buffer: Buffer): ArrayBuffer {
  return new Uint8Array(buffer).buffer;
}

function nameOf(algorithm: string | { name: string }): string {
  return typeof algorithm === "string" ? algorithm : algorithm.name;
}

const subtle = {
  importKey(
    _format: string,
    raw: Bytes,
    algorithm: string | { name: string },
  ): Promise<Key> {
    return Promise.resolve({
      raw: Buffer.from(bytes(raw)),
      algorithm: nameOf(algorithm),
    });
  },

  deriveBits({ salt }: Params, key: Key, length: number): Promise<ArrayBuffer> {
    return Promise.resolve(
      plain(pbkdf2Sync(key.raw, bytes(salt), 1, length / 8, "sha256")),
    );
  },

  encrypt(params: Params, key: Key, data: Bytes): Promise<ArrayBuffer> {
    if (params.name === "RSA-OAEP")
      return Promise.resolve(plain(toPublicKey(params, key, data)));
    if (params.name !== "AES-GCM")
      throw new Error(`not simulated: ${params.name}`);
    const cipher = createCipheriv("aes-256-gcm", key.raw, bytes(params.iv));
    if (params.additionalData !== undefined)
      cipher.setAAD(bytes(params.additionalData));
    const sealed = [
      cipher.update(bytes(data)),
      cipher.final(),
      cipher.getAuthTag(),
    ];
    return Promise.resolve(plain(Buffer.concat(sealed)));
  },

  async decrypt(params: Params, key: Key, data: Bytes): Promise<ArrayBuffer> {
    if (params.name !== "AES-GCM")
      throw new Error(`not simulated: ${params.name}`);
    const sealed = bytes(data);
    const cipher = createDecipheriv("aes-256-gcm", key.raw, bytes(params.iv));
    if (params.additionalData !== undefined)
      cipher.setAAD(bytes(params.additionalData));
    cipher.setAuthTag(sealed.subarray(sealed.length - TAG));
    try {
      const start = cipher.update(sealed.subarray(0, sealed.length - TAG));
      return plain(Buffer.concat([start, cipher.final()]));
    } catch (cause) {
      throw new DOMException(
        `does not open: ${String(cause)}`,
        "OperationError",
      );
    }
  },

  digest(algorithm: string, data: Bytes): Promise<ArrayBuffer> {
    return Promise.resolve(
      plain(
        createHash(algorithm.replace("-", "")).update(bytes(data)).digest(),
      ),
    );
  },

  sign(_algorithm: string, key: Key, data: Bytes): Promise<ArrayBuffer> {
    return Promise.resolve(
      plain(createHmac("sha256", key.raw).update(bytes(data)).digest()),
    );
  },
};

function toPublicKey({ label }: Params, key: Key, data: Bytes): Buffer {
  const pem = createPublicKey({ key: key.raw, format: "der", type: "spki" });
  const padding = constants.RSA_PKCS1_OAEP_PADDING;
  const oaepLabel = label === undefined ? {} : { oaepLabel: bytes(label) };
  return publicEncrypt(
    { key: pem, padding, oaepHash: "sha256", ...oaepLabel },
    bytes(data),
  );
}

function getRandomValues<T extends ArrayBufferView<ArrayBuffer>>(into: T): T {
  const target = bytes(into);
  for (let at = 0; at < target.length; at += 1) target[at] = random.below(256);
  return into;
}

export function layPrimitives(): void {
  Object.defineProperty(globalThis, "crypto", {
    value: { subtle, getRandomValues },
  });
}

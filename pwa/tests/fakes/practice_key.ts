/** A practice's recovery pair, by OpenSSL and not by WebCrypto: one checks the other (RFC 8017, section 7.1). */
import { constants, generateKeyPairSync, privateDecrypt } from "node:crypto";

export class PracticeKey {
  readonly #pair = generateKeyPairSync("rsa", { modulusLength: 3072 });

  /** As the server gives it: SubjectPublicKeyInfo, DER in base64. */
  readonly public = this.#pair.publicKey.export({ type: "spki", format: "der" }).toString("base64");

  /** The record key in a copy, in base64, and the token after it; null where it was not made for this person. */
  open(copy: string, practice: string, staff: string): { key: string; token: string } | null {
    try {
      const content = privateDecrypt(
        {
          key: this.#pair.privateKey,
          padding: constants.RSA_PKCS1_OAEP_PADDING,
          oaepHash: "sha256",
          oaepLabel: Buffer.from(`heelwright.recovery.2/${practice}/${staff}`),
        },
        Buffer.from(copy, "base64"),
      );
      const key = content.subarray(0, 32).toString("base64");
      return { key, token: content.subarray(32).toString() };
    } catch {
      return null;
    }
  }
}

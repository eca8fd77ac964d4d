/** The secret of a link: 32 random bytes, which nobody can guess. */
import { base64Url, TOKEN_BYTES } from "../domain/signing-links";

export function newSecret(): string {
  return base64Url(crypto.getRandomValues(new Uint8Array(TOKEN_BYTES)));
}

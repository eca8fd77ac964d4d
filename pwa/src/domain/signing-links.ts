/** The link that lets a client sign on their own phone: what it is made of, and how it is read. */

/** Of the secret in a link; nobody can guess as many. */
export const TOKEN_BYTES = 32;
/** What stands after the `#` never leaves the phone that follows the link. */
const PAGE = "/sign.html#";
const TOKEN = /^[A-Za-z0-9_-]{43}$/;

/** Base64url without padding (RFC 4648 section 5). */
export function base64Url(bytes: Uint8Array): string {
  const letters = Array.from(bytes, (byte) => String.fromCharCode(byte)).join("");
  return btoa(letters).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

export function linkOf(origin: string, token: string): string {
  return origin + PAGE + token;
}

/** Null where a part of the link is missing. */
export function tokenIn(fragment: string): string | null {
  const token = fragment.replace(/^#/, "");
  return TOKEN.test(token) ? token : null;
}

/** Makes row and command ids. Time and randomness come in as arguments. */

/** When a UUIDv7 was made. */
export function momentOf(id: string): Date {
  return new Date(Number.parseInt(id.replaceAll("-", "").slice(0, 12), 16));
}

const HEX = Array.from({ length: 256 }, (_, byte) => byte.toString(16).padStart(2, "0"));

/** UUIDv7 (RFC 9562, section 5.7) from milliseconds since 1970 and ten random bytes. */
export function uuid7(milliseconds: number, random: Uint8Array): string {
  const time = milliseconds.toString(16).padStart(12, "0");
  const hex = (at: number, mask = 0xff, set = 0) => HEX[((random[at] ?? 0) & mask) | set] ?? "";
  const version = hex(0, 0x0f, 0x70) + hex(1);
  const variant = hex(2, 0x3f, 0x80) + hex(3);
  const rest = hex(4) + hex(5) + hex(6) + hex(7) + hex(8) + hex(9);
  return `${time.slice(0, 8)}-${time.slice(8)}-${version}-${variant}-${rest}`;
}

/** Makes row and command ids. Time and randomness come in as arguments. */

/** When a UUIDv7 was made. */
export function momentOf(id: string): Date {
  return new Date(Number.parseInt(id.replaceAll("-", "").slice(0, 12), 16));
}

/** UUIDv7 (RFC 9562, section 5.7) from milliseconds since 1970 and ten random bytes. */
export function uuid7(milliseconds: number, random: Uint8Array): string {
  const bytes = new Uint8Array(16);
  new DataView(bytes.buffer).setBigUint64(0, BigInt(milliseconds) << 16n);
  bytes.set(random.subarray(0, 10), 6);
  bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x70;
  bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [
    hex.slice(0, 8),
    hex.slice(8, 12),
    hex.slice(12, 16),
    hex.slice(16, 20),
    hex.slice(20),
  ].join("-");
}

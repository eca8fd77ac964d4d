/** Reads a number as people type it: with a point or a comma, and with spaces around. */
export function readNumber(typed: string): number | null {
  const text = typed.trim().replace(",", ".");
  return /^-?\d+(\.\d*)?$|^-?\.\d+$/.test(text) ? Number(text) : null;
}

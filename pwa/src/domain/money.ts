/** Money: whole cents or pence here, text such as "12.50" on the wire. Every currency that the books name has two places. */
export function moneyText(minor: number): string {
  const digits = String(Math.abs(minor)).padStart(3, "0");
  return `${minor < 0 ? "-" : ""}${digits.slice(0, -2)}.${digits.slice(-2)}`;
}

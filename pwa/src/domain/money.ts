/**
 * Money: whole minor units here, text such as "12.50" on the wire. A currency that is not known is "", has two places,
 * and is shown without a sign. The twin is money.py (ISO 4217, from memory).
 */
const WITHOUT_MINOR_UNITS = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF";
const OF_THOUSANDTHS = "BHD IQD JOD KWD LYD OMR TND";

/** How many decimals an amount of it has. */
export function placesOf(currency: string): number {
  if (currency === "") return 2;
  if (WITHOUT_MINOR_UNITS.includes(currency)) return 0;
  return OF_THOUSANDTHS.includes(currency) ? 3 : 2;
}

export function moneyText(minor: number, currency = ""): string {
  const places = placesOf(currency);
  const sign = minor < 0 ? "-" : "";
  const digits = String(Math.abs(minor)).padStart(places + 1, "0");
  if (places === 0) return `${sign}${digits}`;
  return `${sign}${digits.slice(0, -places)}.${digits.slice(-places)}`;
}

/** Of a text as the wire has it; one that is written in other places counts as nothing there. */
export function minorOf(text: string, currency: string): number {
  const [whole = "0", part = ""] = text.replace("-", "").split(".");
  const places = placesOf(currency);
  const minor = Number(whole) * 10 ** places + Number(part.padEnd(places, "0").slice(0, places));
  return text.startsWith("-") ? -minor : minor;
}

/** As people type it, with a point or a comma; null where it is no amount of that currency. */
export function readMoney(typed: string, currency: string): number | null {
  const text = typed.trim().replace(",", ".");
  const places = placesOf(currency);
  const part = /^\d{1,8}(?:\.(\d*))?$/.exec(text);
  if (part === null || (part[1] ?? "").length > places) return null;
  return minorOf(text, currency);
}

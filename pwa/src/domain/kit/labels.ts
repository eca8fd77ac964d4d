/**
 * The code on a label, kept and shown as XXXX-XXXX. The twin is kit/labels.py, which says how it is made and what its
 * check finds; both run tests/parity/labels.json.
 */
const SYMBOLS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const RANDOM_SYMBOLS = 7;
const LENGTH = RANDOM_SYMBOLS + 1;
const MODULUS = 37;
const BETWEEN = /[ \t\r\n\u00a0\u2010-\u2015-]/g;

const VALUES = new Map<string, number>();
for (const [value, symbol] of Array.from(SYMBOLS).entries()) know(symbol, value);
know("O", 0);
know("I", 1);
know("L", 1);

function know(symbol: string, value: number): void {
  VALUES.set(symbol, value).set(symbol.toLowerCase(), value);
}

export type LabelProblem = "length" | "symbol" | "check";
export type ReadLabel =
  { label: string; problem?: undefined } | { label?: undefined; problem: LabelProblem };

/** From what somebody typed or a camera read. */
export function readLabel(text: string): ReadLabel {
  const symbols = Array.from(text.replace(BETWEEN, ""));
  if (symbols.length !== LENGTH) return { problem: "length" };
  const values = symbols.map((symbol) => VALUES.get(symbol)).filter((value) => value !== undefined);
  if (values.length !== LENGTH) return { problem: "symbol" };
  if (checkOf(values.slice(0, RANDOM_SYMBOLS)) !== values[RANDOM_SYMBOLS])
    return { problem: "check" };
  return { label: shown(values) };
}

/** A new code; `random` fills the bytes that it gets, as `crypto.getRandomValues` does. */
export function drawLabel(random: (bytes: Uint8Array<ArrayBuffer>) => void): string {
  for (;;) {
    const bytes = new Uint8Array(RANDOM_SYMBOLS);
    random(bytes);
    const values = Array.from(bytes, (byte) => byte % SYMBOLS.length);
    const check = checkOf(values);
    if (check < SYMBOLS.length) return shown([...values, check]);
  }
}

function checkOf(values: readonly number[]): number {
  return values.reduce((left, value) => (left * SYMBOLS.length + value) % MODULUS, 0);
}

function shown(values: readonly number[]): string {
  const symbols = values.map((value) => SYMBOLS[value]).join("");
  return `${symbols.slice(0, 4)}-${symbols.slice(4)}`;
}
